"""What if: one more box, the crank ground, the block line-honed, a place left as it is. The same question, asked again."""

from dataclasses import dataclass, replace
from math import sqrt

from tenths.choose.shells import Box, Size
from tenths.choose.what_if import WhatIf, what_if
from tenths.choose.words import listed
from tenths.engine.quantity import Quantity, parse, unit_for
from tenths.engine.stations import pattern_matches
from tenths.errors import BadInput
from tenths.logbook.bodies import SeatStated, StockCounted
from tenths.logbook.build import Build
from tenths.services.asked import Asked
from tenths.services.choosing import as_answer
from tenths.services.halves import content_of, nominal
from tenths.services.questions import Answer, system_of
from tenths.services.saddles import saddles
from tenths.services.shells import TITLES, ShellsAsked, shell_question
from tenths.services.shop import Shop

KINDS = {"main-shells": "main", "rod-shells": "rod"}


@dataclass(frozen=True, slots=True)
class Change:
    """A change to be thought through, each part as a person types it; empty parts change nothing.

    Attributes:
        box: sizes of boxes opened or bought beside what is in the house, commas between; a size that is not known yet
            with what a pair of it does to the clearance, as in ``12=-0.002 in``.
        grind: taken off the journals, on the diameter.
        hone: taken out of the housings, on the diameter.
        within: the machining comes within plus and minus this, at all places alike.
        keep: places, or patterns, whose halves stay as they are, commas between.
    """

    box: str = ""
    grind: str = ""
    hone: str = ""
    within: str = ""
    keep: str = ""


def thought(shop: Shop, engine: str, question: str, change: Change, units: str = "") -> Answer:
    """The question as it stands and after a change.

    Args:
        shop: the shop.
        engine: its short name.
        question: main-shells or rod-shells.
        change: to be thought through.
        units: "inch" or "metric"; empty for the engine's own.

    Returns:
        ``change`` in words, ``words`` for what it gains, and the answers ``now`` and ``then`` as of any choice. Nothing is
        written.

    Raises:
        BadInput: naming the part of the change that cannot be taken, or when there is nothing to choose.
    """
    kind = KINDS.get(question)
    if kind is None:
        raise BadInput(f"question: {question!r}: what-if is asked of {listed(list(KINDS))}")
    build = shop.build(engine)
    found = shell_question(build, kind, units)
    if found is None:
        raise BadInput(f"question: {question}: nothing to choose yet; it needs readings, and shells counted in the house")
    change = _tidy(change)
    after = _kept(build, found, kind, change.keep, units)
    named = _named(kind, change)
    asked = _change(build, found, change, named)
    (compared,) = what_if(found.question, [asked], after=after.question)
    before = found.question.answer()
    then, shown = after.question.changed(asked), replace(build, units=system_of(build, units))
    return {"question": question, "title": TITLES[kind], "change": named, "words": compared.words,
            "now": as_answer(shown, Asked(question, TITLES[kind], before, found.entries, found.notes,
                                          drawing=saddles(found.question, before))),
            "then": as_answer(shown, Asked(question, TITLES[kind], compared.answer, after.entries, after.notes,
                                           drawing=saddles(then, compared.answer)))}


def _tidy(change: Change) -> Change:
    tidy = Change(*(text.strip() for text in (change.box, change.grind, change.hone, change.within, change.keep)))
    if tidy == Change():
        raise BadInput("what if: nothing is changed; give a box, how much is ground or honed, or places to keep")
    return tidy


def _named(kind: str, change: Change) -> str:
    where = {"main": ("main journals", "housings"), "rod": ("crankpins", "big ends")}[kind]
    parts = (change.box and f"one more box of {change.box.replace(',', ' and')}",
             change.grind and f"{where[0]} ground by {change.grind}", change.hone and f"{where[1]} honed by {change.hone}",
             change.keep and f"{change.keep} as it is")
    return ", ".join(filter(None, parts)) + (f" within ±{change.within}" if change.within else "")


def _kept(build: Build, found: ShellsAsked, kind: str, keep: str, units: str) -> ShellsAsked:
    """The question with the halves of some places left in."""
    if not keep:
        return found
    known = [p.station for p in found.question.places]
    wanted = [part.strip() for part in keep.split(",") if part.strip()]
    if unknown := [w for w in wanted if not any(pattern_matches(w, station) for station in known)]:
        raise BadInput(f"keep: {unknown[0]!r} is not among the places asked about: {listed(known)}")
    probe = replace(build, seats=[*build.seats, *(SeatStated(station=w, kept=True) for w in wanted)])
    return shell_question(probe, kind, units) or found


def _change(build: Build, found: ShellsAsked, change: Change, named: str) -> WhatIf:
    unit = unit_for(Quantity.LENGTH, system_of(build))

    def amount(name: str, text: str) -> float:
        si = parse(text, Quantity.LENGTH, default_unit=unit, field=name).si if text else 0.0
        if not 0.0 <= si <= 2.5e-3:
            raise BadInput(f"{name}: {text!r} is not taken; 0 to 0.1 in (2.5 mm) on the diameter is")
        return si

    boxes = tuple(_box(build, found, text.strip()) for text in change.box.split(",") if text.strip())
    return WhatIf(named, boxes, found.kind, amount("grind", change.grind), amount("hone", change.hone),
                  amount("within", change.within) / sqrt(3))


def _box(build: Build, found: ShellsAsked, text: str) -> Box:
    """One more sealed set of a size, like those counted in the house."""
    label, _, said = (part.strip() for part in text.partition("="))
    sizes = {size.label: size for size in found.house.sizes} | {
        size: Size(size, _length(build, body.change)) for (kind, size), (_, body) in build.stock.items()
        if kind == f"{found.kind}-shell"}
    if said:
        sizes[label] = Size(label, _length(build, said))
    if label not in sizes:
        raise BadInput(f"box: {label!r} is not among {listed(list(sizes))}; of another size say what a pair does to the "
                       f"clearance, as in '{label}=-0.001 in'")
    like = build.stock.get((f"{found.kind}-shell", label)) or next(
        (row for (kind, _), row in build.stock.items() if kind == f"{found.kind}-shell"), None)
    body = like[1] if like else StockCounted(kind=f"{found.kind}-shell", size=label, change="0", sets=1)
    wall = nominal(found.kind, sizes[label], found.house.datum)
    flanged = sum(place.upper_seat.thrust for place in found.question.places)
    return Box(label, content_of(body, found.kind, sizes[label], wall, len(found.question.places), flanged))


def _length(build: Build, text: str) -> float:
    return parse(text, Quantity.LENGTH, default_unit=unit_for(Quantity.LENGTH, system_of(build)), field="change of clearance").si
