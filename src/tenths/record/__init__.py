"""The printed record, drawings and fit lines."""
