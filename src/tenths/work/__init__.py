"""Steps, parts on order, and what is open, stale, blocked or next."""
