"""Choices that can be proved best: shells, rings, matching, stacks, what to order."""
