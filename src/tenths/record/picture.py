"""The drawing of the engine for print: in the ink and the one accent of the record."""

from typing import Any

from tenths.services.shop import Shop

Answer = dict[str, Any]


def drawing(shop: Shop, engine: str) -> tuple[Answer | None, str]:
    """What the cover says of the drawing, and the drawing as SVG; None while the layout is not known."""
    return None, ""
