"""Data files that come with Tenths."""
