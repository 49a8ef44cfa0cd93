"""Gasket, deck, head and crown: from the log to the question, and the answer as data for a drawing to scale."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tenths.choose.answer import Predicted
from tenths.choose.match_parts import Window
from tenths.choose.stack_answer import choose_stack, stack_of
from tenths.choose.stacks import AS_IT_IS, Bank, BankWay, Crown, Gasket, Stack, StackCylinder, StackRules, ValveRoom
from tenths.choose.words import INCH, System, worked
from tenths.engine.quantity import Quantity
from tenths.errors import BadInput
from tenths.findings.check import catalogue, check
from tenths.findings.finding import Finding
from tenths.findings.geometry import BORE, CHAMBER, STROKE
from tenths.logbook.build import Build
from tenths.metrology.decide import Verdict
from tenths.metrology.estimate import Estimate, combine, difference, exact, mean
from tenths.services.asked import Asked
from tenths.services.gathered import Gathered, to_be_had
from tenths.services.hollows import crevice_of, hollow_of
from tenths.services.knobs import Knob, Knobs, weights
from tenths.services.questions import system_of
from tenths.services.told import told

NAME = "stack"
TITLE = "Gasket, deck and squish"
VALVE_ROOM = "piston-to-valve"
L, R, V = Quantity.LENGTH, Quantity.RATIO, Quantity.VOLUME
KNOBS = Knobs(NAME, (
    Knob("ratio-target", "compression ratio wanted; empty takes the target of its limits", R, least=1.0),
    Knob("squish-target", "squish clearance wanted; empty takes the target of its limits", L),
    *weights((
        ("ratio-weight", "weight of the worst compression ratio; 0.1 off counts as one", "1"),
        ("squish-weight", "weight of the worst squish; 0.005 in (0.127 mm) off counts as one", "1"),
        ("metal-weight", "weight of metal taken off; 0.010 in (0.254 mm) counts as one", "1"),
        ("set-up", "what it counts to set up a block or a head on the machine at all", "0.3"),
    )),
    Knob("step", "smallest cut of the machine", L, "0.0005 in", "0.01 mm", least=1e-6),
    Knob("most-deck", "most that a deck may lose anywhere", L, "0.015 in", "0.40 mm"),
    Knob("most-head", "most that a head may lose", L, "0 in", "0 mm"),
    Knob("head-takes", "what 0.010 in (0.254 mm) off the head takes from a chamber", V, "0 cc"),
    Knob("most-opened", "most by which a chamber may be opened", V, "0 cc"),
    Knob("true-up", "whether a deck may be cut parallel to the crank", None, "yes", options=("no", "yes")),
    Knob("cut-doubt", "standard uncertainty of a cut", L, "0.0002 in", "0.005 mm"),
))
HOLDS = (Verdict.FITS, Verdict.OUT, Verdict.TOO_CLOSE, Verdict.NO_LIMIT)
MOST_WAYS = 200_000


@dataclass(frozen=True, slots=True)
class StackQuestion:
    """All that the answer is worked out from."""

    banks: tuple[Bank, ...]
    gaskets: tuple[Gasket, ...]
    crowns: tuple[Crown, ...]
    rules: StackRules


def stack(build: Build) -> Asked | None:
    """The question which gasket, and what is to be cut; None before every cylinder of a bank has deck, chamber and bore."""
    if build.layout is None:
        return None
    gathered, notes = Gathered(build, build.layout), list[str]()
    question = _question(gathered, notes)
    if question is None:
        return None
    system = system_of(build)
    answer, stacks = choose_stack(question.banks, question.gaskets, question.crowns, question.rules, system=system)
    if len(question.gaskets) == 1:
        notes.append("One gasket is known. List others as parts of kind gasket, with thickness and bore, to have them compared.")
    return Asked(NAME, TITLE, answer, tuple(gathered.entries), tuple(notes), settings=KNOBS.settings(build),
                 drawing=drawing_of(question, stacks, system))


def _question(gathered: Gathered, notes: list[str]) -> StackQuestion | None:
    build = gathered.build
    rows = {(f.characteristic.name, f.station): f for f in check(build, _wanted())}
    banks = tuple(bank for b in gathered.layout.banks if (bank := _bank(gathered, rows, b.name, notes)) is not None)
    gaskets = _gaskets(gathered, [bank.name for bank in banks])
    first = [rows[name, banks[0].cylinders[0].station] if banks else None for name in ("compression-ratio", "squish-clearance")]
    if not banks or not gaskets or first[0] is None or first[1] is None:
        return None
    rules = _rules(build, _window(build, first[0], "ratio-target"), _window(build, first[1], "squish-target"), gaskets)
    if rules.ratio == Window() and rules.squish == Window():
        return None
    return StackQuestion(banks, tuple(gaskets.values()), _crowns(gathered, banks), rules)


def _wanted() -> tuple[str, ...]:
    return ("deck-clearance", "compression-ratio", "squish-clearance", *(n for n in catalogue() if n.startswith(VALVE_ROOM)))


def _window(build: Build, found: Finding, knob: str) -> Window:
    limits, said = found.limits, KNOBS.maybe(build, knob)
    target = limits.target if said is None else said
    if target is None and limits.lower is not None and limits.upper is not None:
        target = (limits.lower + limits.upper) / 2
    return Window(limits.lower, target, limits.upper)


def _bank(gathered: Gathered, rows: dict[tuple[str, str], Finding], name: str, notes: list[str]) -> Bank | None:
    """A bank of which every cylinder is known; a bank is under one head, so one cylinder missing leaves it out."""
    labels = [c.label for c in gathered.layout.cylinders if c.bank == name]
    spacing = gathered.at("engine", "bore-spacing")
    gathered.missing.clear()
    found: list[StackCylinder] = []
    for n, label in enumerate(labels):
        station, deck = f"cyl.{label}", rows["deck-clearance", f"cyl.{label}"]
        sizes = [gathered.of(need, station) for need in (BORE, STROKE, CHAMBER)]
        known = [size for size in sizes if size is not None]
        if deck.estimate is None or deck.verdict not in HOLDS or len(known) < len(sizes):
            what = next(iter(gathered.missing), f"deck clearance of {station} is not known")
            notes.append(f"Bank {name} is left out: {what}.")
            return None
        gathered.entries.update(dict.fromkeys(deck.entries))
        place = n * (spacing.value if spacing else 4.4 * INCH)
        chamber = combine((1.0, 1.0), (known[2], crevice_of(gathered, f"{station}.piston", station)))
        found.append(StackCylinder(station, known[0], known[1], deck.estimate, chamber,
                                   hollow_of(gathered, f"{station}.piston"), place, _valves(rows, label)))
    return Bank(name, tuple(found)) if found else None


def _valves(rows: dict[tuple[str, str], Finding], label: str) -> tuple[ValveRoom, ...]:
    """Room of the valves of a cylinder, wherever the catalogue has it."""
    own = (f for (name, station), f in rows.items() if name.startswith(VALVE_ROOM) and label in station.split("."))
    return tuple(ValveRoom(f.station, f.characteristic.name, f.estimate, f.limits.lower) for f in own
                 if f.estimate is not None and f.limits.lower is not None and f.verdict in HOLDS)


def _gaskets(gathered: Gathered, banks: Sequence[str]) -> dict[str, Gasket]:
    """Gaskets that can be had, one of each kind: parts of kind gasket, and what the sheet states."""
    build, found = gathered.build, dict[str, Gasket]()
    for name, part in build.parts.items():
        if part.card.kind == "gasket":
            label = part.card.number or part.card.size or name
            _keep(gathered, found, f"part.{name}", label)
    if banks:
        _keep(gathered, found, f"gasket.{banks[0]}", "as stated")
    return found


def _keep(gathered: Gathered, found: dict[str, Gasket], station: str, label: str) -> None:
    thickness, bore = gathered.at(station, "gasket-thickness"), gathered.at(station, "gasket-bore")
    if thickness is None or bore is None or label in found:
        return
    if not any((g.thickness.value, g.bore.value) == (thickness.value, bore.value) for g in found.values()):
        found[label] = Gasket(label, thickness, bore)


def _crowns(gathered: Gathered, banks: Sequence[Bank]) -> tuple[Crown, ...]:
    """The pistons as they are, and those that could be ordered: loose ones that are not in the house, one of each number."""
    build, found = gathered.build, dict[str, Crown]()
    own = mean([gathered.at(f"{c.station}.piston", "compression-height") or exact(0.0) for bank in banks for c in bank.cylinders])
    for name in to_be_had(build, "piston"):
        card = build.parts[name].card
        label = card.number or card.size or name
        height = gathered.at(f"part.{name}", "compression-height") if "compression-height" in build.parts[name].sizes else None
        rise = exact(0.0) if height is None else difference(height, own)
        found.setdefault(label, Crown(f"pistons {label}", hollow_of(gathered, f"part.{name}"), rise))
    return (AS_IT_IS, *found.values())


def _rules(build: Build, ratio: Window, squish: Window, gaskets: dict[str, Gasket]) -> StackRules:
    def per(amount: float, name: str) -> float:
        weight = KNOBS.number(build, name)
        return amount / weight if weight else 1e12

    step, deck, head = (KNOBS.number(build, name) for name in ("step", "most-deck", "most-head"))
    opened = KNOBS.number(build, "most-opened")
    ways = 2 * (deck / step + 1) * (head / step + 1) * (opened / 0.5e-6 + 1)
    if ways > MOST_WAYS:
        raise BadInput(f"step: {KNOBS.text(build, 'step')!r} makes {ways:.0f} ways to look at for each gasket; at most {MOST_WAYS} "
                       "are taken: give a larger step, or less to be cut or opened")
    return StackRules(
        ratio, squish, step, deck, head, KNOBS.number(build, "head-takes") / (0.010 * INCH), opened, 0.5e-6,
        KNOBS.text(build, "true-up") == "yes", KNOBS.number(build, "cut-doubt"), _now(gaskets),
        per(0.1, "ratio-weight"), per(0.005 * INCH, "squish-weight"), per(0.010 * INCH, "metal-weight"),
        KNOBS.number(build, "set-up"))


def _now(gaskets: dict[str, Gasket]) -> Estimate | None:
    return gaskets["as stated"].thickness if "as stated" in gaskets else None


# -- as data for a drawing --------------------------------------------------------------------------------------------

def drawing_of(question: StackQuestion, stacks: Sequence[Stack], system: System) -> dict[str, Any]:
    """Banks with what stands where [m], now and after, for each answer; empty where there is none."""
    if not stacks:
        return {}
    return {"kind": "stack", "options": [
        {"gasket": s.gasket.id, "crown": s.crown.id, "thickness": s.gasket.thickness.value,
         "thickness_text": worked(s.gasket.thickness.value, system),
         "banks": [_drawn(way, s, question.rules, system) for way in s.ways]} for s in stacks]}


def _drawn(way: BankWay, stack_: Stack, rules: StackRules, system: System) -> dict[str, Any]:
    cylinders = [_drawn_cylinder(c, cut, way, stack_, rules, system) for c, cut in zip(way.bank.cylinders, way.cuts, strict=True)]
    return {"name": way.bank.name, "trued": way.trued, "head": way.head, "opened": way.opened, "cylinders": cylinders,
            "head_text": worked(way.head, system) if way.head else "", "opened_text": f"{way.opened * 1e6:.1f} cc" if way.opened else ""}


def _drawn_cylinder(c: StackCylinder, cut: float, way: BankWay, stack_: Stack, rules: StackRules, system: System) -> dict[str, Any]:
    after = stack_of(c, way, stack_, rules)
    squish = after["squish-clearance"]
    said = told(Predicted(c.station, "squish-clearance", squish), system)
    return {"station": c.station, "label": c.station.partition(".")[2], "place": c.place, "bore": c.bore.value, "deck": c.deck.value,
            "cut": cut, "rise": stack_.crown.rise.value, "squish": squish.value, "squish_text": said["text"], "squish_fit": said,
            "cut_text": worked(cut, system) if cut > 1e-9 else "", "ratio": after["compression-ratio"].value,
            "ratio_text": f"{after['compression-ratio'].value:.2f}"}
