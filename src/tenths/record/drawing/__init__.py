"""Drawings of an engine in true proportion from its own sizes, and small drawings of how a reading is taken.

One SVG serves page and print: every stroke carries plain attributes, and classes (`stylesheet`) through which a page
gives it the colours of its theme.
"""

from tenths.record.drawing.draw import VIEWS, View, draw, views
from tenths.record.drawing.sizes import MAIN_SIZES, SIZES, WORDS, missing
from tenths.record.drawing.sketches import SKETCHES, part_sketch, sketch_words
from tenths.record.drawing.theme import stylesheet

__all__ = ["MAIN_SIZES", "SIZES", "SKETCHES", "VIEWS", "WORDS", "View", "draw", "missing", "part_sketch", "sketch_words",
           "stylesheet", "views"]
