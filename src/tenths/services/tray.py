"""The tray: the readings that are still to be taken, each with where, how, with what, and what is expected."""

from collections.abc import Iterable
from typing import Any

from tenths.engine.features import Feature, feature_at, kinds_of
from tenths.engine.layout import Layout
from tenths.engine.quantity import from_si, unit_for, write
from tenths.engine.stations import slots, station_map
from tenths.findings.check import awake, places_of, told_of
from tenths.findings.declare import Characteristic, Need, Uneven, Way, address
from tenths.findings.instruments import ALIKE
from tenths.logbook.build import Build, Reading
from tenths.services.questions import Answer, system_of
from tenths.services.shop import Shop

Wanted = tuple[str, Feature]


def tray(shop: Shop, engine: str, *, instruments: Iterable[str] = (), limit: int = 0) -> list[Answer]:
    """The next readings: those never taken and those that are stale, in walking order.

    Args:
        shop: the shop.
        engine: which engine.
        instruments: ids laid out for today; when given, only what they can read, each picked up once.
        limit: at most this many; 0 means all.

    Returns:
        Rows with station, words, feature, place, how, sketch, kind of instrument, the instrument last used for it,
        unit, expected value and last reading as text, and why it is wanted.
    """
    build = shop.build(engine)
    if build.layout is None:
        return []
    order = _order(build.layout)
    rows = [row for station, feature in sorted(_wanted(build), key=lambda w: order.get(w[0], len(order)))
            for row in _rows(build, station, feature)]
    laid_out = list(instruments)
    if laid_out:
        rows = [row for name in laid_out for row in rows if _can_read(build, name, row)]
    return rows[:limit] if limit else rows


def _order(layout: Layout) -> dict[str, int]:
    """Walking order of stations, each slot with the station that it belongs to."""
    order = {address: place * 10 for place, address in enumerate(station_map(layout))}
    for place, slot in enumerate(slots(layout)):
        owner = slot
        while owner and owner not in order:
            owner = owner.rpartition(".")[0]
        order.setdefault(slot, order.get(owner, 0) + 1 + place % 3)
    return order


def _wanted(build: Build) -> dict[Wanted, None]:
    """Station and feature of every input that the catalogue takes by its first way and that can be read, in its order."""
    assert build.layout is not None  # noqa: S101 - looked at by the caller
    skip, told = set(build.house.get("skip", ())), told_of(build)
    found: dict[Wanted, None] = {}
    for characteristic, station in places_of(build.layout):
        if characteristic.name in skip or not awake(characteristic, told):
            continue
        if characteristic.when_begun and not _begun(build, characteristic):
            continue
        way = characteristic.ways[0]
        if isinstance(way, Way):
            found |= {w: None for need in way.needs if isinstance(need, Need) and (w := _of_need(build, need, station))}
        elif isinstance(way, Uneven):
            found[station, feature_at(way.feature, station)] = None
    return found


def _begun(build: Build, characteristic: Characteristic) -> bool:
    """Whether anything was read, anywhere on this engine, that the characteristic is worked out from."""
    features = {way.feature for way in characteristic.ways if isinstance(way, Uneven)}
    features |= {n.feature for way in characteristic.ways if isinstance(way, Way) for n in way.needs if isinstance(n, Need)}
    return any(name in features for _, name in build.readings)


def _of_need(build: Build, need: Need, station: str) -> Wanted | None:
    assert build.layout is not None  # noqa: S101 - looked at by the caller
    where = address(need.at, build.layout, station)
    if not where or need.otherwise is not None:
        return None
    feature = feature_at(need.feature, where)
    return None if feature.stated_only or _sheet_is_enough(build, feature, where) else (where, feature)


def _sheet_is_enough(build: Build, feature: Feature, station: str) -> bool:
    """Whether a shop takes the sheet's word until it doubts it: sizes of the combination, not of fits."""
    return feature.name in SHEET_FEATURES and build.stated(station, feature.name) is not None


SHEET_FEATURES = frozenset({"gasket-bore", "gasket-thickness", "deck-height", "stroke", "rod-length", "compression-height"})


def _rows(build: Build, station: str, feature: Feature) -> Iterable[Answer]:
    taken: dict[str, list[Reading]] = {}
    part = build.part_in(station)
    for reading in [*build.readings.get((station, feature.name), ()), *build.readings.get((f"part.{part}", feature.name), ())]:
        taken.setdefault(reading.place, []).append(reading)
    valid = {place for place, rows in taken.items() if any(not build.stale_because(r) for r in rows)}
    if valid and "" in valid:
        return
    partly = bool(valid)
    for place in feature.places:
        if place in valid or (partly and not _worth_finishing(feature, valid, place)):
            continue
        last = taken.get(place, [])
        yield _row(build, station, feature, place, last[-1] if last else None)


def _worth_finishing(feature: Feature, valid: set[str], place: str) -> bool:
    """A grid that was read in part is taken as read in the way this shop reads it, once rows and columns are in it."""
    enough = min(4, len(feature.places))
    return len(valid) < enough and place not in valid


def _row(build: Build, station: str, feature: Feature, place: str, last: Reading | None) -> Answer:
    unit = unit_for(feature.quantity, system_of(build), fine=feature.fine)
    expected = expected_value(build, station, feature)
    owner = station_map(build.layout).get(station) if build.layout else None
    return {
        "station": station, "station_words": owner.words if owner else station.replace(".", " "), "feature": feature.name,
        "words": feature.words, "place": place, "how": feature.how, "sketch": feature.shown,
        "instrument_kind": feature.instrument, "instrument": last_instrument(build, feature), "unit": unit,
        "expected": from_si(expected, feature.quantity, unit) if expected is not None else None,
        "expected_text": write(expected, feature.quantity, unit=unit) if expected is not None else "",
        "last_text": last.typed.text if last else "", "signed": feature.signed,
        "why": build.stale_because(last) if last else "not measured",
        "deviation_from": _set_size(build, feature),
    }


def expected_value(build: Build, station: str, feature: Feature) -> float | None:
    """What a reading should come to [SI]: the stated size, else the mean of the same feature elsewhere."""
    stated = build.stated(station, feature.name)
    if stated is not None:
        return stated.value
    kind = kinds_of(station)
    alike = [r.value for (where, name), rows in build.readings.items() if name == feature.name and kinds_of(where) == kind
             for r in rows]
    return sum(alike) / len(alike) if alike else None


def last_instrument(build: Build, feature: Feature) -> str:
    """The instrument that this feature was last read with, else the last listed of its usual kind."""
    used = [r for (_, name), rows in build.readings.items() if name == feature.name for r in rows if r.instrument]
    if used:
        return max(used, key=lambda r: r.mark.position).instrument
    fitting = [name for name, (_, card) in build.instruments.items() if card.kind == feature.instrument]
    return fitting[-1] if fitting else ""


def _set_size(build: Build, feature: Feature) -> str:
    """The size that the gauge for this feature is set to, when it shows deviations."""
    setting = build.last_setting.get(last_instrument(build, feature))
    if setting is None or setting.size is None:
        return ""
    return write(setting.size, feature.quantity, unit=unit_for(feature.quantity, system_of(build)))


def _can_read(build: Build, name: str, row: dict[str, Any]) -> bool:
    listed = build.instruments.get(name)
    kind = listed[1].kind if listed else name
    return kind in {row["instrument_kind"], ALIKE.get(row["instrument_kind"], "")}
