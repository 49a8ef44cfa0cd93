"""Form in the record: the line of the mains and the faces, and of what is round whatever does not fit."""

from typing import Any

from tenths.record.form_pictures import picture_of
from tenths.services.forms import forms
from tenths.services.shop import Shop

Answer = dict[str, Any]


def printed_forms(shop: Shop, engine: str, units: str) -> tuple[list[Answer], dict[str, str]]:
    """What the record shows of form: title, sentence, figures, file and words of each, and the SVG by file name."""
    told: list[Answer] = []
    files: dict[str, str] = {}
    for row in forms(shop, engine, units=units):
        if row["form"] == "round" and not set(row["verdicts"].values()) & {"out", "too close to call"}:
            continue
        file = f"form-{len(files) + 1}.svg"
        files[file] = picture_of(row)
        where = row["station_words"][:1].upper() + row["station_words"][1:]
        told.append({"title": f"{where}: {row['words']}", "words": row["statement"], "figures": _figures(row), "file": file,
                     "alt": f"{where}, {row['words']}, drawn exaggerated",
                     "verdicts": [{"what": name.replace("-", " "), "verdict": verdict} for name, verdict in row["verdicts"].items()]})
    return told, files


def _figures(row: Answer) -> str:
    zone, taper = row["minimum"], row["taper"]
    said = [f"{'narrowest zone' if row['form'] != 'round' else 'out of round'} {zone['text']} ±{zone['interval_text']}" if zone else "",
            f"by least squares {row['least_squares_text']}" if row["least_squares_text"] else "",
            f"taper {taper['text']} ±{taper['interval_text']}" if taper else "", "stale" if row["stale"] else ""]
    return "; ".join(filter(None, said))
