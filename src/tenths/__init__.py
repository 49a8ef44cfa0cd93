"""Tenths: the logbook and the reckoning of an independent engine builder."""

__version__ = "0.1.0"
