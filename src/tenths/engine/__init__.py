"""The engine as a thing: layout, stations, what can be read on it, and numbers as people type them."""
