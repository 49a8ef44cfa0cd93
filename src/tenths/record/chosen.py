"""The drawings of choices as they were accepted: the answer, and small copies of the ones that stood beside it."""

from typing import Any

from tenths.record.drawing.saddles import in_words, saddles_svg
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
        if drawing.get("kind") != "saddles" or not drawing.get("options"):
            continue
        best, *others = drawing["options"]
        choice["drawn"] = _drawn(pictures, f"choice-{number}", best) | {"copies": [
            _copy(pictures, f"choice-{number}-{place}", option, best) | {"words": said["words"]}
            for place, (option, said) in enumerate(zip(others, choice["others"], strict=False), 1)]}
    return pictures


def _drawn(pictures: dict[str, str], name: str, option: Answer) -> Answer:
    svg = saddles_svg(option, across=ACROSS, prefix=name)
    pictures[f"{name}.svg"] = _printed(svg)
    return {"file": f"{name}.svg", "width": min(_width(svg) * UNIT, WIDEST), "alt": in_words(option)}


def _copy(pictures: dict[str, str], name: str, option: Answer, best: Answer) -> Answer:
    pictures[f"{name}.svg"] = _printed(saddles_svg(option, against=best, small=True, across=ACROSS, prefix=name))
    return {"file": f"{name}.svg", "width": COPY, "alt": in_words(option)}


def _width(svg: str) -> float:
    return float(svg.partition(' width="')[2].partition('"')[0])


def _printed(svg: str) -> str:
    """In the ink and the one accent of the record."""
    for verdict, colour in COLOURS.items():
        svg = svg.replace(colour, PRINTED[verdict])
    return svg.replace(REACH, ACCENT)
