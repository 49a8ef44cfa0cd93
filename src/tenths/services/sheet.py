"""The maker's sheet: which sizes and limits an engine asks for, and a sheet typed or taken from a CSV file."""

import csv
import io
from collections.abc import Iterable

from tenths.engine.feature_film import FILM
from tenths.engine.feature_head import HEAD
from tenths.engine.feature_train import TRAIN
from tenths.engine.features import FEATURES, Feature, feature_at
from tenths.engine.quantity import unit_for
from tenths.engine.stations import stations
from tenths.errors import BadInput
from tenths.findings.check import places_of
from tenths.findings.declare import Need, Way, address
from tenths.findings.limits import USES, limits_for
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.services.questions import Answer, system_of
from tenths.services.shop import Shop
from tenths.services.tables import torn_number

__all__ = ["USES", "limits_wanted", "sheet_from_csv", "sizes_wanted"]

PICTURED = ("bore", "stroke", "rod-length", "compression-height", "deck-height", "bore-spacing")  # asked first
COLUMNS = ("station", "feature", "text", "tolerance", "characteristic", "lower", "upper", "target", "source")
NUMBERS = frozenset({"text", "tolerance", "lower", "upper", "target"})
MOST_ROWS = 5000
PARTS = {"oil": FILM, "head": HEAD, "train": TRAIN}  # what has a place of its own on the sheet's page


def sizes_wanted(shop: Shop, engine: str) -> list[Answer]:
    """The sizes that a sheet can state for this engine, one row for all stations of a kind, what draws it first.

    Returns:
        Rows with pattern of stations (``main.*``), feature, words, unit, what is stated so far, ``first`` for the few that
        are asked at once, the ``names`` that are taken where no number is, and ``part`` for those with a place of
        their own: "oil", "head", "train".
    """
    build = shop.build(engine)
    if build.layout is None:
        return []
    rows: dict[tuple[str, str], Answer] = {}
    for station, feature in _inputs(build):
        pattern = pattern_of(station)
        stated = build.stated(station, feature.name)
        row = rows.setdefault((pattern, feature.name), {
            "station": pattern, "feature": feature.name, "words": feature.words, "where": words_of(pattern),
            "unit": unit_for(feature.quantity, system_of(build), fine=feature.fine),
            "text": "", "source": "", "first": feature.name in PICTURED, "stations": 0, "names": list(feature.names),
            "part": next((part for part, features in PARTS.items() if feature in features), "")})
        row["stations"] += 1
        if stated is not None:
            row["text"], row["source"] = stated.typed.text, stated.source
    order = {f: n for n, f in enumerate(PICTURED)}
    return sorted(rows.values(), key=lambda r: (order.get(r["feature"], len(order)),))


def _inputs(build: Build) -> Iterable[tuple[str, Feature]]:
    """Station and feature of every input of the catalogue on this engine, once each, and what draws it."""
    assert build.layout is not None  # noqa: S101 - looked at by the caller
    seen: set[tuple[str, str]] = set()
    pictured = [(s.address, f) for f in FEATURES if f.name in PICTURED for s in stations(build.layout) if s.kind in f.kinds]
    oiled = [(s.address, f) for f in FILM for s in stations(build.layout) if s.kind in f.kinds]
    headed = [(s.address, f) for f in HEAD if f.stated_only for s in stations(build.layout) if s.kind in f.kinds]
    trained = [(s.address, f) for f in TRAIN for s in stations(build.layout) if s.kind in f.kinds]
    for station, feature in [*pictured, *_of_catalogue(build), *oiled, *headed, *trained]:
        if (station, feature.name) not in seen:
            seen.add((station, feature.name))
            yield station, feature


def _of_catalogue(build: Build) -> Iterable[tuple[str, Feature]]:
    assert build.layout is not None  # noqa: S101 - looked at by the caller
    for characteristic, station in places_of(build.layout):
        for way in characteristic.ways:
            for need in way.needs if isinstance(way, Way) else ():
                if isinstance(need, Need) and (where := address(need.at, build.layout, station)):
                    yield where, feature_at(need.feature, where)


def pattern_of(station: str) -> str:
    """All stations alike: the second word of the address given free."""
    parts = station.split(".")
    return ".".join([parts[0], "*", *parts[2:]]) if len(parts) > 1 else station


_WORDS = {"main": "each main", "pin": "each crank pin", "cyl": "each cylinder", "rod": "each rod", "deck": "each deck",
          "chamber": "each chamber", "cam": "each camshaft", "lobe": "each lobe", "valve": "each valve",
          "gasket": "each gasket", "head": "each head", "lifter": "each lifter", "joint": "each joint"}


def words_of(pattern: str) -> str:
    """A pattern of stations in words."""
    first, _, rest = pattern.partition(".*")
    words = _WORDS.get(first, first.replace("-", " "))
    return words + (", " + rest.strip(".").replace(".*", "").replace(".", " ") if rest.strip(".") else "")


def limits_wanted(shop: Shop, engine: str) -> list[Answer]:
    """The characteristics judged on this engine, each once, with the limits that hold now and whose they are."""
    build = shop.build(engine)
    if build.layout is None:
        return []
    rows: dict[str, Answer] = {}
    for characteristic, station in places_of(build.layout):
        if characteristic.name not in rows:
            limits = limits_for(build, characteristic, station, None)
            rows[characteristic.name] = {
                "characteristic": characteristic.name, "words": characteristic.words, "section": characteristic.section,
                "station": pattern_of(station), "where": words_of(pattern_of(station)), "authority": limits.authority,
                "unit": unit_for(characteristic.quantity, system_of(build), fine=characteristic.fine)}
    return list(rows.values())


def sheet_from_csv(text: str, source: str = "maker's sheet") -> list[bodies.SizeStated | bodies.LimitStated]:
    """The rows of a sheet: sizes (station, feature, text, tolerance) and limits (station, characteristic, lower, upper).

    The first line names the columns, in any order; commas or semicolons between them.

    Raises:
        BadInput: naming the line and what is wrong with it.
    """
    text = text.removeprefix("\ufeff")
    head = text.partition("\n")[0]
    delimiter = ";" if head.count(";") > head.count(",") else ","
    reader = csv.DictReader(io.StringIO(text), delimiter=delimiter)
    columns = [c.strip().lower() for c in reader.fieldnames or ()]
    if "station" not in columns or not {"feature", "characteristic"} & set(columns):
        raise BadInput("sheet: the first line names the columns: station, and feature with text, or characteristic with "
                       f"lower and upper; it reads {head[:60]!r}")
    if unknown := [c for c in columns if c not in COLUMNS]:
        raise BadInput(f"sheet: the column {unknown[0]!r} is not known; known are {', '.join(COLUMNS)}")
    reader.fieldnames = columns
    found = [row for raw in reader if (row := _row(raw, reader.line_num, source, commas=delimiter == ",")) is not None]
    if not found or len(found) > MOST_ROWS:
        raise BadInput(f"sheet: it has {len(found)} rows; 1 to {MOST_ROWS} are taken")
    return found


def _row(raw: dict[str, str | None], line: int, source: str, *, commas: bool) -> bodies.SizeStated | bodies.LimitStated | None:
    if None in raw:
        raise BadInput(f"sheet, line {line}: more cells than columns")
    cells = {key: (value or "").strip() for key, value in raw.items()}
    if not any(cells.values()):
        return None
    torn = [f"{a},{b}" for (name, a), b in zip(cells.items(), list(cells.values())[1:], strict=False)
            if name in NUMBERS and torn_number(a, b)] if commas else []
    if torn:
        raise BadInput(f"sheet, line {line}: {torn[0]!r} could be one number with a decimal comma; put it in quotes, or write "
                       "the first with a unit")
    station, said = cells.get("station", ""), cells.get("source") or source
    if not station:
        raise BadInput(f"sheet, line {line}: no station")
    if cells.get("feature"):
        if not cells.get("text"):
            raise BadInput(f"sheet, line {line}: no text: the size as it stands on the sheet")
        return bodies.SizeStated(station=station, feature=cells["feature"], text=cells["text"],
                                 tolerance=cells.get("tolerance", ""), source=said)
    if not cells.get("characteristic"):
        raise BadInput(f"sheet, line {line}: neither a feature nor a characteristic")
    return bodies.LimitStated(station=station, characteristic=cells["characteristic"], lower=cells.get("lower", ""),
                              upper=cells.get("upper", ""), target=cells.get("target", ""), source=said)
