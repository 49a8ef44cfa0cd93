"""Heights along the mains and over the deck of the first demo engine. All made up."""

from dataclasses import replace
from datetime import datetime
from random import Random

from tenths.engine.feature_form import FACE
from tenths.logbook import bodies
from tenths.services import commands
from tenths.services.shop import Shop

LINE = ("0.0000", "0.0003", "0.0006", "0.0011", "0.0006", "0.0004", "-0.0001")
SIDE = ("0.0000", "0.0001", "-0.0002", "0.0001", "0.0003", "0.0001", "0.0000")
DECK = ("0.0000", "0.0003", "0.0001", "0.0006", "0.0011", "0.0005", "0.0008", "0.0029", "-0.0006")


def lay_form(shop: Shop, when: datetime) -> None:
    """The heights, by a clock and chance of their own, so that nothing else in the demo changes with them."""
    own = replace(shop, clock=lambda: when, random=Random(20260303).randbytes)  # noqa: S311 - ids, not secrets
    rows = [bodies.ReadingTaken(station=f"main.{n}", feature=feature, text=text, instrument="test-dial")
            for feature, texts in (("line-height", LINE), ("line-side", SIDE)) for n, text in enumerate(texts, 1)]
    rows += [bodies.ReadingTaken(station="deck.A", feature="face-height", place=place, text=text, instrument="deck-dial")
             for place, text in zip(FACE, DECK, strict=True)]
    own.append("marigold", *commands.instrument_cards(own, "marigold", "test-dial", "deck-dial"), *rows)
