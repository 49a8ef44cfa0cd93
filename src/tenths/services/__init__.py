"""One function per command and per question: the only door of the bench and of the command line.

shop        opening a shop: its logbook, files, clock, and the Builds it has folded
commands    what a person does: each makes entries, or raises and makes none
questions   what a person asks: plain JSON-ready answers
tray        the next readings, in walking order
choosing    shells, rings and other choices, and accepting them
transfer    readings from CSV and XLSX, export and import of one engine
demo        two invented engines
"""
