"""The oil film: oils, the Reynolds equation, mobility, and bearings over a load cycle."""
