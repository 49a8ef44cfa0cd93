"""Gas: its properties, cylinders, pipes and junctions, and the pull at full throttle."""
