"""The plots of the record: the clearances of the bearings over all their places, with what the parts foretold."""

from dataclasses import replace
from typing import Any

from tenths.record.picture import PRINTED
from tenths.record.plots import PRINT, Palette, alike, over_places, plot_svg
from tenths.record.typeset import INK

Answer = dict[str, Any]
SHOWN = ("main-oil-clearance", "rod-oil-clearance")
FEWEST = 3  # places; fewer are read off the fit lines
ZONE = "#eceeef"
PALETTE: Palette = replace(PRINT, ink=INK, accent="#62696f", zone=ZONE, font="IBM Plex Sans", verdicts={**PRINTED, "no limit": INK})


def printed_plots(found: list[Answer]) -> tuple[list[Answer], dict[str, str]]:
    """What the record shows as plots: section, file and words of each, and the SVG by file name."""
    told: list[Answer] = []
    files: dict[str, str] = {}
    for name in SHOWN:
        read, predicted = _known(found, name), _known(found, f"{name}-predicted")
        enough = sum(f["value"] is not None for f in read) >= FEWEST
        for rows in alike(read if enough else predicted):
            if sum(f["value"] is not None for f in rows) < FEWEST:
                continue
            file = f"plot-{len(files) + 1}.svg"
            spec = over_places(rows, PALETTE, predicted=predicted if enough else (), width=350, height=170)
            files[file] = plot_svg(spec)
            told.append({"section": rows[0]["section"], "file": file, "alt": spec["description"]})
    return told, files


def _known(found: list[Answer], name: str) -> list[Answer]:
    return [f for f in found if f["characteristic"] == name]
