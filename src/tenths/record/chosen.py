"""The drawings of choices as they were accepted: the answer, and small copies of the ones that stood beside it."""

from typing import Any

from tenths.record.drawing.chosen import KINDS, LEGENDS, choice_svg, choice_words
from tenths.record.fitline import COLOURS
from tenths.record.picture import ACCENT, PRINTED

Answer = dict[str, Any]
ACROSS = 7  # saddles abreast on paper
UNIT = 0.21  # of a drawing [mm]
WIDEST, COPY = 168.0, 54.0  # on the page [mm]
REACH = "#bf3f00"  # the pen's colour of what is to be changed


def chosen(answer: Answer) -> dict[str, str]:
    """Draws the choices of an engine.

    Args:
        answer: the dossier; each choice that can be drawn is given ``drawn``: a drawing and its copies by file name.

    Returns:
        SVG by file name.
    """
    pictures: dict[str, str] = {}
    for number, choice in enumerate(answer["choices"], 1):
        drawing = choice["drawing"]
        if drawing.get("kind") not in KINDS or not drawing.get("options"):
            continue
        copies = range(1, min(len(drawing["options"]), len(choice["others"]) + 1))
        choice["drawn"] = _drawn(pictures, f"choice-{number}", drawing) | {"legend": LEGENDS[drawing["kind"]], "copies": [
            _copy(pictures, f"choice-{number}-{place}", drawing, place) | {"words": choice["others"][place - 1]["words"]}
            for place in copies]}
    return pictures


def _drawn(pictures: dict[str, str], name: str, drawing: Answer) -> Answer:
    svg = choice_svg(drawing, across=ACROSS)
    pictures[f"{name}.svg"] = _printed(svg)
    return {"file": f"{name}.svg", "width": min(_width(svg) * UNIT, WIDEST), "alt": choice_words(drawing)}


def _copy(pictures: dict[str, str], name: str, drawing: Answer, place: int) -> Answer:
    pictures[f"{name}.svg"] = _printed(choice_svg(drawing, place, small=True, across=ACROSS))
    return {"file": f"{name}.svg", "width": COPY, "alt": choice_words(drawing, place)}


def _width(svg: str) -> float:
    return float(svg.partition(' width="')[2].partition('"')[0])


def _printed(svg: str) -> str:
    """In the ink and the one accent of the record."""
    for verdict, colour in COLOURS.items():
        svg = svg.replace(colour, PRINTED[verdict])
    return svg.replace(REACH, ACCENT)
