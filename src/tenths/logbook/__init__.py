"""The append-only logbook of an engine: entries, chain, stores, and the fold into a Build."""
