"""What a person does. Each command makes entries in an engine's logbook, or raises and makes none."""

import re
from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from importlib.resources import files
from pathlib import Path

import msgspec

from tenths.engine.describe import layout_from_text
from tenths.engine.operations import OPERATIONS
from tenths.errors import BadInput, Refused
from tenths.findings.limits import USES
from tenths.logbook import bodies
from tenths.logbook.entry import Entry
from tenths.logbook.fold import feature_for
from tenths.services.copies import air_for, certificates_for
from tenths.services.shop import SHOP, Shop


def open_engine(shop: Shop, *, name: str, layout: str, engine: str = "", units: str = "inch", use: str = "street",
                customer: str = "", purpose: str = "", fuel: str = "", notes: str = "") -> str:
    """Opens an engine and returns its short name; house rules now in force are adopted with it.

    Raises:
        BadInput: for an empty name, a layout that cannot be read, an unknown use or unit system.
        Refused: when an engine of that short name exists.
    """
    if not name.strip():
        raise BadInput("name: an engine needs a name")
    _one_of("units", units, ("inch", "metric"))
    _one_of("use", use, USES)
    layout_from_text(layout)
    stream = engine or re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40]
    if stream in shop.engines() or stream == SHOP:
        raise Refused(f"engine: {stream!r} is there already; give another with --engine")
    what: list[bodies.Body] = [bodies.EngineOpened(name=name, layout=layout, units=units, use=use, customer=customer,
                                                   purpose=purpose, fuel=fuel, notes=notes)]
    rules = shop.build(SHOP).house_text
    if rules:
        what.append(bodies.HouseAdopted(text=rules))
    shop.append(stream, *what)
    return stream


def _one_of(field: str, value: str, accepted: tuple[str, ...]) -> None:
    if value not in accepted:
        raise BadInput(f"{field}: {value!r} is not taken; give one of {', '.join(accepted)}")


def describe_engine(shop: Shop, engine: str, changes: Mapping[str, str]) -> list[Entry]:
    """Changes what was said of an engine: name, customer, purpose, use, fuel, units, notes, layout."""
    known = set(bodies.EngineDescribed.__struct_fields__)
    if unknown := sorted(set(changes) - known):
        raise BadInput(f"{unknown[0]!r} is not a field of an engine; there are {', '.join(sorted(known))}")
    if "use" in changes:
        _one_of("use", changes["use"], USES)
    if "units" in changes:
        _one_of("units", changes["units"], ("inch", "metric"))
    return shop.append(engine, bodies.EngineDescribed(**changes))


def adopt_house_rules(shop: Shop, text: str, engine: str = "") -> list[Entry]:
    """House rules (TOML) come into force for the shop, or for one engine; raises BadInput naming the row that is wrong."""
    return shop.append(engine or SHOP, bodies.HouseAdopted(text=text))


def house_template() -> str:
    """House rules to begin from: every key there is with words on it, all of it commented out."""
    return files("tenths.data").joinpath("house_rules.toml").read_text("utf-8")


def list_instrument(shop: Shop, card: bodies.InstrumentListed) -> list[Entry]:
    """Lists an instrument of the shop, or brings its card up to date."""
    from tenths.findings.instruments import kinds  # noqa: PLC0415 - only this command asks

    _one_of("kind of instrument", card.kind, kinds())
    return shop.append(SHOP, card)


def instrument_cards(shop: Shop, engine: str, *names: str) -> list[bodies.Body]:
    """The cards that an engine's log still lacks of instruments it is about to name, so that the log stands alone."""
    build, house = shop.build(engine), shop.build(SHOP)
    found: list[bodies.Body] = []
    for name in names:
        if not name:
            continue
        ours = house.instruments.get(name)
        there = build.instruments.get(name)
        if ours is None and there is None:
            known = ", ".join(house.instruments) or "none yet: 'tenths instrument' lists the first"
            raise BadInput(f"instrument: {name!r} is not listed; listed are {known}")
        if ours is not None and (there is None or there[1] != ours[1]):
            found.append(ours[1])
        found += certificates_for(build, house, name)
        found += [taken.body for (gauge, kind), taken in house.studied.items() if gauge == name
                  and ((known := build.studied.get((gauge, kind))) is None or known.body != taken.body)]
    return [*found, *air_for(shop, build, house)] if any(names) else found


def set_instrument(shop: Shop, engine: str, *, instrument: str, master: str, size: str = "") -> list[Entry]:
    """Sets an instrument to a size from a master; later deviations hang on it."""
    cards = instrument_cards(shop, engine, instrument, master)
    return shop.append(engine, *cards, bodies.InstrumentSet(instrument=instrument, master=master, size=size))


def take_reading(shop: Shop, engine: str, reading: bodies.ReadingTaken) -> Entry:
    """Takes a reading as typed; raises BadInput when it cannot be understood."""
    cards = instrument_cards(shop, engine, reading.instrument)
    return shop.append(engine, *cards, reading)[-1]


def state(shop: Shop, engine: str, *what: bodies.SizeStated | bodies.LimitStated) -> list[Entry]:
    """States sizes and limits of the maker's sheet."""
    return shop.append(engine, *what)


def part(shop: Shop, engine: str, *what: bodies.Body) -> list[Entry]:
    """Lists parts, says that they arrived, fits or removes them, counts stock."""
    build = shop.build(engine)
    for body in what:
        if isinstance(body, bodies.PartArrived) and body.part not in build.parts:
            raise BadInput(f"part: {body.part!r} is not listed; listed are {', '.join(build.parts) or 'none'}")
    return shop.append(engine, *what)


def machine(shop: Shop, engine: str, *, slot: str, operation: str, stations: tuple[str, ...] = (),
            note: str = "") -> list[Entry]:
    """Records a machining operation; the readings it ends turn stale."""
    _one_of("operation", operation, tuple(OPERATIONS))
    return shop.append(engine, bodies.PartMachined(slot=slot, operation=operation, features=OPERATIONS[operation],
                                                   stations=stations, note=note))


def strike(shop: Shop, engine: str, entry: str, reason: str) -> Entry:
    """Strikes an entry (by id, its first letters, or its position), with a reason.

    Raises:
        BadInput: when there is no such entry, several, or no reason.
        Refused: when it is struck already, or is itself a strike or the opening of the engine.
    """
    found = find_entry(shop, engine, entry)
    if not reason.strip():
        raise BadInput("reason: a strike needs a reason in words")
    if found.type in {bodies.EntryStruck.TYPE, bodies.EngineOpened.TYPE}:
        raise Refused(f"entry {found.position} is {found.type}: that is not struck; write what is right as a new entry")
    if found.id in shop.build(engine).struck:
        raise Refused(f"entry {found.position} is struck already")
    return shop.append(engine, bodies.EntryStruck(entry=found.id, reason=reason))[0]


def find_entry(shop: Shop, engine: str, wanted: str) -> Entry:
    """The entry of that position, id, or beginning of an id."""
    entries = shop.logbook.read(engine)
    found = [e for e in entries if wanted in {e.id, str(e.position)}] or [e for e in entries if e.id.endswith(wanted)]
    if len(found) != 1:
        how = "there is none" if not found else f"{len(found)} fit"
        raise BadInput(f"entry: {wanted!r}: {how}; 'tenths log {engine}' shows positions and ids")
    return found[0]


def fasten(shop: Shop, engine: str, body: bodies.JointStated | bodies.FastenerTicked | bodies.OutlineDrawn) -> Entry:
    """A joint stated, a fastener ticked, an outline drawn.

    Raises:
        BadInput: naming the field that cannot be taken, and what would be.
    """
    return shop.append(engine, body)[0]


def write_note(shop: Shop, engine: str, station: str, text: str) -> Entry:
    """Words about a station."""
    if not text.strip():
        raise BadInput("note: nothing was written")
    return shop.append(engine, bodies.NoteWritten(station=station, text=text))[0]


def read_text(path: Path) -> str:
    """The text of a file a person named; raises BadInput when it cannot be read."""
    try:
        return path.read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise BadInput(f"file {path}: cannot be read: {error}") from None


def instrument_kinds() -> tuple[str, ...]:
    """The kinds of instrument that can be listed."""
    from tenths.findings.instruments import kinds  # noqa: PLC0415 - only those who list instruments ask

    return kinds()


def take_readings(shop: Shop, engine: str, readings: Sequence[bodies.ReadingTaken]) -> list[Entry]:
    """Takes several readings with one commit, all or none; raises BadInput for a place that the feature does not have."""
    build = shop.build(engine)
    readings = [msgspec.structs.replace(r, place=place_named(feature_for(build, r.station, r.feature).places, r.place, r.feature))
                for r in readings]
    cards = instrument_cards(shop, engine, *dict.fromkeys(r.instrument for r in readings))
    return shop.append(engine, *cards, *readings)[len(cards):]


def places_for(shop: Shop, engine: str, station: str, feature: str, count: int) -> tuple[str, ...]:
    """The places that so many values are for: the feature's own, in order, those not yet read first.

    Raises:
        BadInput: when the feature has fewer places than there are values.
    """
    build = shop.build(engine)
    places = feature_for(build, station, feature).places
    if count > len(places):
        raise BadInput(f"values: {count} are given, {feature} has {len(places)} places: {', '.join(places)}; give --place "
                       "for each to read one of them again")
    read = {r.place for r in build.readings.get((station, feature), ()) if not build.stale_because(r)}
    free = [place for place in places if place not in read]
    return tuple((free if len(free) >= count else places)[:count])


def place_named(places: Sequence[str], text: str, feature: str) -> str:
    """The place of a feature that a text means, whatever its capital letters; no text is no place in particular.

    Raises:
        BadInput: when the feature has no such place; names those it has.
    """
    wanted = " ".join(text.split())
    known = {place.lower(): place for place in places}
    if not wanted or wanted.lower() in known:
        return known.get(wanted.lower(), "")
    if set(known) == {""}:
        raise BadInput(f"place: {text!r}: {feature} has no places; leave it out")
    near = get_close_matches(wanted.lower(), known, 1, 0.6)
    hint = f" ({known[near[0]]!r} is near it)" if near else ""
    raise BadInput(f"place: {text!r} is not a place of {feature}{hint}; it has {', '.join(places)}")
