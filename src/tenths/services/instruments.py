"""The instruments of the shop: their records, certificates, settings, and what state they are in today."""

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from math import inf, isinf

import msgspec

from tenths.engine.quantity import Quantity, from_si, unit_for, write
from tenths.errors import BadInput
from tenths.findings.cards import QUANTITY_OF_UNIT, System, certificate_for, from_card, kinds, typical
from tenths.findings.studied import BIAS, REPEATABILITY, source_of, with_studies
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.logbook.calibration import Certificate
from tenths.logbook.entry import Entry
from tenths.metrology.instrument import Instrument
from tenths.services.commands import list_instrument
from tenths.services.questions import Answer
from tenths.services.shop import SHOP, Shop
from tenths.services.tables import Columns, Line, table_of

SOON = timedelta(days=30)  # a due date so near is said
HEADS: Mapping[str, tuple[str, ...]] = {  # column: other heads that mean it, in small letters
    "size": ("nominal", "point", "reference", "true", "true size", "at"), "correction": ("corr", "add"),
    "error": ("deviation", "indication error", "error of indication"), "uncertainty": ("u", "u95", "expanded uncertainty"),
}
COLUMNS = Columns({word: name for name, words in HEADS.items() for word in (name, *words)}, ("size", "uncertainty"),
                  frozenset(HEADS))


# -- writing -----------------------------------------------------------------------------------------------------------

def update_instrument(shop: Shop, instrument: str, **said: str | int) -> list[Entry]:
    """Brings the card of an instrument up to date in what is said, the rest stays; lists it when it is new.

    Raises:
        BadInput: for a field that a card does not have, a new instrument without a kind, or what a card cannot take.
    """
    fields = set(bodies.InstrumentListed.__struct_fields__) - {"instrument"}
    if unknown := sorted(set(said) - fields):
        raise BadInput(f"{unknown[0]!r} is not on the card of an instrument; there are {', '.join(sorted(fields))}")
    known = shop.build(SHOP).instruments.get(instrument)
    if not instrument.strip() or len(instrument) > 60 or any(c.isspace() or c in "/:?#" for c in instrument):
        raise BadInput(f"id: {instrument[:70]!r} is no id of an instrument; letters, digits, hyphens and points are taken, up to 60")
    if known is None and not said.get("kind"):
        raise BadInput(f"kind of instrument: a new one needs it; give one of {', '.join(kinds())}")
    card = msgspec.structs.replace(known[1], **said) if known else bodies.InstrumentListed(instrument=instrument, **said)  # pyright: ignore[reportArgumentType]
    return list_instrument(shop, card)


def certify(shop: Shop, certificate: bodies.InstrumentCertified) -> list[Entry]:
    """Takes a calibration certificate into the record of an instrument; its quantity is that of the instrument.

    Raises:
        BadInput: for an instrument that is not listed, or a line that cannot be read.
    """
    kind = _listed(shop, certificate.instrument)[1].kind
    quantity = QUANTITY_OF_UNIT.get(typical(kind, "inch").unit, Quantity.LENGTH)
    return shop.append(SHOP, msgspec.structs.replace(certificate, quantity=quantity.value))


def points_of_table(content: str | bytes, name: str = "certificate") -> tuple[bodies.CertificatePoint, ...]:
    """The points of a certificate from a table: size, correction (or error, its opposite), uncertainty.

    Raises:
        BadInput: naming the line that cannot be read.
    """
    table = table_of(name, content.encode() if isinstance(content, str) else content, COLUMNS)
    units = {head.name: head.unit for head in table.heads if head.name}
    if not {"correction", "error"} & set(units):
        raise BadInput(f"{name}: a line must name the column correction (what is to be added to a reading), or error")
    return tuple(_point(name, line, units) for line in table.lines)


def _point(name: str, line: Line, units: Mapping[str, str]) -> bodies.CertificatePoint:
    if line.why:
        raise BadInput(f"{name}, line {line.number}: {line.why}")
    cells = {column: _with_unit(text, units.get(column, "")) for column, text in line.cells.items()}
    if not cells.get("size") or not cells.get("uncertainty") or not (cells.get("correction") or cells.get("error")):
        raise BadInput(f"{name}, line {line.number}: size, correction and uncertainty are needed")
    correction = cells.get("correction") or _opposite(cells["error"])
    return bodies.CertificatePoint(size=cells["size"], correction=correction, uncertainty=cells["uncertainty"])


def _with_unit(text: str, unit: str) -> str:
    return f"{text} {unit}" if unit and text and text[-1].isdigit() else text


def _opposite(text: str) -> str:
    """An error turned into the correction: its sign is the other."""
    bare = text.lstrip()
    if bare[:1] in {"-", "\N{MINUS SIGN}"}:
        return bare[1:].lstrip()
    return "-" + bare.removeprefix("+").lstrip()


def _listed(shop: Shop, name: str) -> tuple[str, bodies.InstrumentListed]:
    found = shop.build(SHOP).instruments.get(name)
    if found is None:
        known = ", ".join(shop.build(SHOP).instruments) or "none yet"
        raise BadInput(f"instrument: {name!r} is not listed; listed are {known}")
    return name, found[1]


# -- reading -----------------------------------------------------------------------------------------------------------

def instruments(shop: Shop, units: str = "") -> list[Answer]:
    """All instruments of the shop, each in a line: what it is, how good, when it is due, what state it is in.

    Amounts are in the unit system asked for, else in that of the instrument's own card.
    """
    house, last = shop.build(SHOP), last_settings(shop)
    return [_row(shop, house, name, _system(units, card), last) for name, (_, card) in house.instruments.items()]


def instrument_record(shop: Shop, name: str, units: str = "") -> Answer:
    """Everything that the shop knows of one instrument.

    Raises:
        BadInput: when it is not listed.
    """
    _listed(shop, name)
    house = shop.build(SHOP)
    mark, card = house.instruments[name]
    system = _system(units, card)
    return {
        **_row(shop, house, name, system, last_settings(shop)),
        "card": {field: getattr(card, field) for field in card.__struct_fields__}, "listed": mark.at, "listed_by": mark.person,
        "certificates": [certificate_answer(c, card.kind, system) for c in reversed(house.certificates.get(name, []))],
        "settings": _settings(shop, name), "used_in": _used_in(shop, name),
    }


def _system(units: str, card: bodies.InstrumentListed | None = None) -> System:
    """The unit system asked for, else that in which the card is written."""
    written = f"{card.resolution} {card.limit_of_error} {card.range_from} {card.range_to} {card.name}" if card else ""
    return "metric" if units == "metric" or (not units and ("mm" in written or "µm" in written)) else "inch"


def _row(shop: Shop, house: Build, name: str, system: System, last: Mapping[str, Answer]) -> Answer:
    mark, card = house.instruments[name]
    today = shop.clock().date()
    certificate = certificate_for(house.certificates.get(name, ()), today)
    made = with_studies(from_card(card, system, certificate), house)
    state, said = state_of(made, today)
    return {
        "instrument": name, "kind": card.kind, "name": card.name or name, "serial": card.serial, "hand": card.hand,
        "range": _range(made, system), "resolution": _amount(made.resolution, made, system),
        "limit_of_error": _limit(made, system), "repeatability": _amount(made.repeatability, made, system),
        "basis": _basis(house, name, made), "set_from": card.set_from,
        "needs_setting": made.set_from is not None, "certificate": certificate.body.certificate if certificate else card.certificate,
        "calibrated": certificate.day.isoformat() if certificate else "", "due": made.due.isoformat() if made.due else "",
        "state": state, "said": said, "since": mark.at, "last_set": last.get(name),
    }


def state_of(instrument: Instrument, today: date) -> tuple[str, str]:
    """What state an instrument is in on a day, and a sentence about it."""
    due = instrument.due
    if due is None:
        return "no due date", "No day is stated on which its calibration falls due."
    days = (due - today).days
    if days <= 0:
        return "overdue", f"Its calibration was due on {due.isoformat()}."
    if due - today <= SOON:
        return "due soon", f"Its calibration falls due in {days} day{'' if days == 1 else 's'}."
    return "in order", ""


def _basis(house: Build, name: str, made: Instrument) -> str:
    """What its limits rest on."""
    study = source_of(house, name, BIAS)
    if study and made.points and (not made.calibrated or made.calibrated.isoformat() <= study[-10:]):
        return study
    if made.points:
        return f"certificate, {len(made.points)} point{'' if len(made.points) == 1 else 's'}"
    card = house.instruments[name][1]
    scatter = source_of(house, name, REPEATABILITY)
    said = "maker's limit of error" if card.limit_of_error else (
        "uncertainty of its certificate" if card.certificate_uncertainty else "usual for its kind, common practice")
    return f"{said}; scatter by {scatter}" if scatter else said


def _amount(si: float, made: Instrument, system: System) -> str:
    """An amount in the unit that a person reads it in, no more than three figures; empty for none."""
    quantity = QUANTITY_OF_UNIT.get(made.unit)
    if not si or quantity is None or isinf(si):
        return ""
    unit = ("tenths" if system == "inch" else "µm") if quantity is Quantity.LENGTH and si < 1e-3 else unit_for(quantity, system)
    text = f"{float(f'{from_si(si, quantity, unit, difference=True):.3g}'):f}".rstrip("0").rstrip(".")
    return f"{text} {'tenth' if (text, unit) == ('1', 'tenths') else unit}".strip()


def _limit(made: Instrument, system: System) -> str:
    if made.points:
        worst = max(p.u for p in made.points)
        return f"U {_amount(2 * worst, made, system)}"
    relative = f"{made.limit_relative * 100:g} % of reading" if made.limit_relative else ""
    amount = _amount(made.limit_of_error, made, system)
    return " + ".join(filter(None, ((f"U {amount}" if made.limit_shape == "normal" else amount) if amount else "", relative)))


def _range(made: Instrument, system: System) -> str:
    quantity = QUANTITY_OF_UNIT.get(made.unit)
    if quantity is None or (made.lower == -inf and made.upper == inf):
        return ""
    unit = unit_for(quantity, system)
    low, high = ("" if isinf(x) else f"{from_si(x, quantity, unit):.6g}" for x in (made.lower, made.upper))
    if low and high:
        return f"{low} to {high} {unit}".strip()
    return f"{'from ' + low if low else 'up to ' + high} {unit}".strip()


def certificate_answer(certificate: Certificate, kind: str, system: System) -> Answer:
    """A certificate as JSON: what was typed, and each point in the unit system asked for."""
    body, quantity = certificate.body, QUANTITY_OF_UNIT.get(typical(kind, system).unit, Quantity.LENGTH)
    unit = unit_for(quantity, system)
    small = ("tenths" if system == "inch" else "µm") if quantity is Quantity.LENGTH else unit
    return {
        "certificate": body.certificate, "by": body.by, "day": body.day, "due": body.due, "coverage": body.coverage,
        "entry": certificate.mark.entry, "at": certificate.mark.at, "person": certificate.mark.person, "unit": unit,
        "small_unit": small,
        "points": [{"size": write(p.size, quantity, unit=unit), "size_value": from_si(p.size, quantity, unit),
                    "correction": _signed(from_si(p.correction, quantity, small, difference=True)),
                    "u": from_si(p.u, quantity, small, difference=True),
                    "correction_value": from_si(p.correction, quantity, small, difference=True)} for p in certificate.points],
    }


def _signed(number: float) -> str:
    text = f"{number:+.3g}"
    return "0" if float(text) == 0 else text


# -- what it was set to and used for -----------------------------------------------------------------------------------

def last_settings(shop: Shop) -> dict[str, Answer]:
    """The latest setting of each gauge, over all engines."""
    found: dict[str, Answer] = {}
    for row in _all_settings(shop):
        if row["instrument"] not in found or row["at"] > found[row["instrument"]]["at"]:
            found[row["instrument"]] = row
    return found


def _all_settings(shop: Shop) -> Iterable[Answer]:
    for engine in shop.engines():
        build = shop.build(engine)
        unit = unit_for(Quantity.LENGTH, _system(build.units))
        for setting in build.settings.values():
            size = "" if setting.size is None else write(setting.size, Quantity.LENGTH, unit=unit)
            yield {"engine": engine, "instrument": setting.instrument, "master": setting.master, "size": size,
                   "at": setting.mark.at, "person": setting.mark.person, "entry": setting.mark.entry}


def _settings(shop: Shop, name: str) -> list[Answer]:
    rows = [row for row in _all_settings(shop) if name in {row["instrument"], row["master"]}]
    return sorted(rows, key=lambda row: row["at"], reverse=True)


def _used_in(shop: Shop, name: str) -> list[Answer]:
    """Engines that it was used on: how many readings, and when last."""
    rows: list[Answer] = []
    for engine in shop.engines():
        build = shop.build(engine)
        taken = [r.mark.at for same in build.readings.values() for r in same if r.instrument == name]
        if taken:
            rows.append({"engine": engine, "name": build.name, "readings": len(taken), "last": max(taken)})
    return rows


def templates(units: str = "inch") -> list[Answer]:
    """The kinds that an instrument can be begun from, each with what is usual for it."""
    system = _system(units)
    rows: list[Answer] = []
    for kind in kinds():
        made = typical(kind, system)
        rows.append({"kind": kind, "words": kind.replace("-", " "), "name": made.name, "quantity": str(
            QUANTITY_OF_UNIT.get(made.unit, "flow")), "resolution": _amount(made.resolution, made, system),
            "limit_of_error": _limit(made, system),
            "repeatability": _amount(made.repeatability, made, system), "needs_setting": made.set_from is not None})
    return rows
