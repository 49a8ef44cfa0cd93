"""Layouts from a short description, such as ``V8 90, throws 0 90 270 180, firing 1-8-4-3-6-5-7-2``.

The first part is a preset's name or a form: ``single``, ``inline 5``, ``V6 60``, ``flat 4``. What follows, in any
order, separated by commas:

=========================== ==========================================================================================
``throws 0 120 240``        angle of each throw from the front [deg]
``pins shared``             both rods of a throw on one crankpin (V engines)
``pins offset 30``          the second bank's crankpin stands that many degrees after the first's
``pins single``             every cylinder has its own throw (inline, boxer)
``firing 1-3-4-2``          firing order, in the maker's own labels
``bank A 1 3 5 7``          labels of a bank from the front; a second ``bank`` part names the other
``bank angles -30 30``      angle of each bank from straight up, instead of half the V angle either way
``mains 5``                 number of main bearings; ``mains after 0 2 4`` says behind which throws they stand
``thrust 3``                the main that takes the thrust
``cams block 5``            one camshaft in the block on 5 bearings; or ``cams per bank 5``,
                            ``cams two per bank 5``, ``cams none``
``valves in ex``            the valves of a cylinder; ``valves in1 in2 ex1 ex2``
``rings top second oil``    the rings of a piston
``turns anticlockwise``     seen from the front
=========================== ==========================================================================================
"""

import re
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import Any

from tenths.engine.layout import Bank, Camshaft, Cylinder, Layout, Pin, Turning
from tenths.errors import BadInput

LABEL = re.compile(r"[A-Za-z0-9]{1,6}")
ACCEPTED = ("a preset (" + "{presets}" + ") or: single, inline 2..16, V2..V16 with its angle, flat 2..16, "
            "followed by parts such as 'throws 0 180', 'firing 1-3-4-2', 'mains 5'")


@cache
def presets() -> dict[str, dict[str, str]]:
    """The layouts that come with Tenths: name to {"text": description, "title": words}."""
    raw: dict[str, Any] = tomllib.loads(files("tenths.data").joinpath("layouts.toml").read_text("utf-8"))
    return {name: dict(body) for name, body in raw.items()}


@dataclass
class _Draft:
    """What the description has said so far."""

    form: str = ""
    cylinders: int = 0
    bank_angles: tuple[float, ...] = (0.0,)
    throws: tuple[float, ...] = ()
    pins: str = ""
    offset: float = 0.0
    firing: tuple[str, ...] = ()
    labels: dict[str, tuple[str, ...]] = field(default_factory=dict[str, tuple[str, ...]])
    mains: int = 0
    mains_after: tuple[int, ...] = ()
    thrust: int = 0
    cams: str = "block"
    cam_bearings: int = 0
    valves: tuple[str, ...] = ("in", "ex")
    rings: tuple[str, ...] = ("top", "second", "oil")
    turns: Turning = "clockwise"


def layout_from_text(text: str) -> Layout:
    """The layout that a description means.

    Args:
        text: the description, see the head of this module.

    Returns:
        The layout, checked: labels, pins and firing order agree.

    Raises:
        BadInput: names the part that cannot be read, and what would be taken.
    """
    parts = [p.strip() for p in text.replace("°", " ").replace("\n", ",").split(",") if p.strip()]
    if not parts:
        raise BadInput(f"layout: nothing was given; give {_accepted()}")
    draft = _Draft()
    preset = presets().get(parts[0].lower().replace(" ", "-"))
    if preset:
        parts = [p.strip() for p in preset["text"].split(",")] + parts[1:]
    _read_form(draft, parts[0])
    for part in parts[1:]:
        _read_part(draft, part)
    return _build(draft, text.strip())


def _accepted() -> str:
    return ACCEPTED.format(presets=", ".join(presets()))


def _read_form(draft: _Draft, part: str) -> None:
    found = re.fullmatch(r"(single|inline|straight|flat|v)\s*-?(\d+)?(?:\s+(-?[\d.]+))?", part.lower())
    if not found:
        raise BadInput(f"layout: {part!r} is not known; give {_accepted()}")
    form, count, angle = found.groups()
    draft.form = "inline" if form == "straight" else form
    draft.cylinders = 1 if form == "single" else int(count or 0)
    if not 1 <= draft.cylinders <= 16 or (form != "single" and draft.cylinders < 2):
        raise BadInput(f"layout: {part!r}: the number of cylinders must be 2 to 16 (or 'single')")
    if form in {"v", "flat"} and draft.cylinders % 2:
        raise BadInput(f"layout: {part!r}: a V or flat engine has an even number of cylinders")
    if form == "v":
        if angle is None:
            raise BadInput(f"layout: {part!r}: give the V angle in degrees, for example 'V{draft.cylinders} 90'")
        draft.bank_angles = (float(angle) / 2, -float(angle) / 2)
    elif form == "flat":
        draft.bank_angles = (90.0, -90.0)
    draft.pins = "shared" if form == "v" else "single"


def _numbers(words: list[str], part: str) -> tuple[float, ...]:
    try:
        return tuple(float(w) for w in words)
    except ValueError:
        raise BadInput(f"layout: {part!r}: only numbers can follow, separated by spaces") from None


def _whole(words: list[str], part: str) -> tuple[int, ...]:
    numbers = _numbers(words, part)
    if any(n != int(n) for n in numbers):
        raise BadInput(f"layout: {part!r}: whole numbers are wanted")
    return tuple(int(n) for n in numbers)


def _read_part(draft: _Draft, part: str) -> None:
    words = part.split()
    reader = _READERS.get(words[0].lower())
    if reader is None:
        raise BadInput(f"layout: {part!r} is not known; a part begins with one of {', '.join(_READERS)}")
    if len(words) == 1:
        raise BadInput(f"layout: {part!r}: nothing follows {words[0]!r}")
    reader(draft, words[1:], part)


def _read_throws(draft: _Draft, words: list[str], part: str) -> None:
    draft.throws = _numbers(words, part)


def _read_pins(draft: _Draft, words: list[str], part: str) -> None:
    kind = words[0].lower()
    if kind not in {"shared", "offset", "single"} or (kind == "offset") != (len(words) == 2):
        raise BadInput(f"layout: {part!r}: give 'pins shared', 'pins single' or 'pins offset DEGREES'")
    draft.pins = kind
    draft.offset = _numbers(words[1:], part)[0] if kind == "offset" else 0.0


def _read_firing(draft: _Draft, words: list[str], part: str) -> None:
    draft.firing = tuple(w for w in re.split(r"[-\s]+", " ".join(words)) if w)
    _check_labels(draft.firing, part)


def _read_bank(draft: _Draft, words: list[str], part: str) -> None:
    if words[0].lower() == "angles":
        draft.bank_angles = _numbers(words[1:], part)
        return
    _check_labels(tuple(words[1:]), part)
    draft.labels[words[0]] = tuple(words[1:])


def _check_labels(labels: tuple[str, ...], part: str) -> None:
    bad = [label for label in labels if not LABEL.fullmatch(label)]
    if bad or not labels or len(set(labels)) != len(labels):
        raise BadInput(f"layout: {part!r}: labels are letters and digits, up to six, each once")


def _read_mains(draft: _Draft, words: list[str], part: str) -> None:
    if words[0].lower() == "after":
        draft.mains_after = _whole(words[1:], part)
    else:
        draft.mains = _whole(words, part)[0]


def _read_thrust(draft: _Draft, words: list[str], part: str) -> None:
    draft.thrust = _whole(words, part)[0]


def _read_cams(draft: _Draft, words: list[str], part: str) -> None:
    found = re.fullmatch(r"(none|block|per bank|two per bank)(?:\s+(\d+))?", " ".join(words).lower())
    if not found:
        raise BadInput(f"layout: {part!r}: give 'cams block 5', 'cams per bank 5', 'cams two per bank 5', 'cams none'")
    draft.cams, draft.cam_bearings = found[1], int(found[2] or 0)


def _read_valves(draft: _Draft, words: list[str], part: str) -> None:
    if any(not re.fullmatch(r"(in|ex)\d?", w) for w in words) or len(set(words)) != len(words):
        raise BadInput(f"layout: {part!r}: valves are named in, ex, or in1 in2 ex1 ex2")
    draft.valves = tuple(words)


def _read_rings(draft: _Draft, words: list[str], part: str) -> None:
    if any(w not in {"top", "second", "third", "oil"} for w in words) or len(set(words)) != len(words):
        raise BadInput(f"layout: {part!r}: rings are named top, second, third, oil")
    draft.rings = tuple(words)


def _read_turns(draft: _Draft, words: list[str], part: str) -> None:
    if words == ["clockwise"]:
        draft.turns = "clockwise"
    elif words == ["anticlockwise"]:
        draft.turns = "anticlockwise"
    else:
        raise BadInput(f"layout: {part!r}: give 'turns clockwise' or 'turns anticlockwise', seen from the front")


_READERS: dict[str, Callable[[_Draft, list[str], str], None]] = {
    "throws": _read_throws, "pins": _read_pins, "firing": _read_firing, "bank": _read_bank, "mains": _read_mains,
    "thrust": _read_thrust, "cams": _read_cams, "valves": _read_valves, "rings": _read_rings, "turns": _read_turns,
}


def _build(draft: _Draft, text: str) -> Layout:
    banks = tuple(Bank(name, angle) for name, angle in zip(_bank_names(draft), draft.bank_angles, strict=True))
    pins = _pins(draft)
    cylinders = _cylinders(draft, banks)
    labels = {c.label for c in cylinders}
    if not draft.firing:
        raise BadInput("layout: the firing order is missing; add for example 'firing 1-3-4-2'")
    if set(draft.firing) != labels or len(draft.firing) != len(labels):
        raise BadInput(f"layout: firing order {'-'.join(draft.firing)} must name each of "
                       f"{', '.join(sorted(labels))} once")
    after = _mains_after(draft, max(p.throw for p in pins))
    thrust = draft.thrust or len(after)
    if not 1 <= thrust <= len(after):
        raise BadInput(f"layout: 'thrust {thrust}': this crank has mains 1 to {len(after)}")
    layout = Layout(text, banks, pins, cylinders, after, thrust, draft.firing, _camshafts(draft, banks, cylinders),
                    draft.valves, draft.turns, draft.rings)
    layout.firing_angles()
    return layout


def _bank_names(draft: _Draft) -> tuple[str, ...]:
    count = len(draft.bank_angles)
    if draft.labels and len(draft.labels) != count:
        raise BadInput(f"layout: {len(draft.labels)} bank(s) are named, {count} have an angle")
    return tuple(draft.labels) or ("A", "B", "C", "D")[:count]


def _pins(draft: _Draft) -> tuple[Pin, ...]:
    banks = len(draft.bank_angles)
    wanted = draft.cylinders if draft.pins == "single" else draft.cylinders // banks
    throws = draft.throws or ((0.0,) if wanted == 1 else ())
    if len(throws) != wanted:
        raise BadInput(f"layout: with pins {draft.pins} this engine has {wanted} throws, {len(throws)} angles are "
                       f"given; add 'throws' with {wanted} angles")
    if draft.pins != "offset":
        return tuple(Pin(k, k, angle % 360.0) for k, angle in enumerate(throws, 1))
    angles = [(k, angle + bank * draft.offset) for k, angle in enumerate(throws, 1) for bank in range(banks)]
    return tuple(Pin(n, throw, angle % 360.0) for n, (throw, angle) in enumerate(angles, 1))


def _cylinders(draft: _Draft, banks: tuple[Bank, ...]) -> tuple[Cylinder, ...]:
    per_bank = draft.cylinders // len(banks)
    labels = draft.labels or {
        bank.name: tuple(str(1 + k * len(banks) + i) for k in range(per_bank)) for i, bank in enumerate(banks)}
    made: list[Cylinder] = []
    for i, bank in enumerate(banks):
        if len(labels[bank.name]) != per_bank:
            raise BadInput(f"layout: bank {bank.name} needs {per_bank} labels, {len(labels[bank.name])} are given")
        for k, label in enumerate(labels[bank.name]):
            pin = k + 1 if draft.pins == "shared" else k * len(banks) + i + 1
            made.append(Cylinder(label, bank.name, k + 1, pin))
    if len({c.label for c in made}) != len(made):
        raise BadInput("layout: the same cylinder label stands twice")
    return tuple(made)


def _mains_after(draft: _Draft, throws: int) -> tuple[int, ...]:
    if draft.mains_after:
        after = draft.mains_after
        if after[0] != 0 or list(after) != sorted(set(after)) or after[-1] != throws:
            raise BadInput(f"layout: 'mains after' must rise from 0 to {throws}, each once")
        return after
    count = draft.mains or throws + 1
    if not 2 <= count <= throws + 1:
        raise BadInput(f"layout: 'mains {count}': this crank can have 2 to {throws + 1} mains")
    return tuple(round(k * throws / (count - 1)) for k in range(count))


def _camshafts(draft: _Draft, banks: tuple[Bank, ...], cylinders: tuple[Cylinder, ...]) -> tuple[Camshaft, ...]:
    def drives(rows: tuple[Cylinder, ...], valves: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
        return tuple((c.label, v) for c in sorted(rows, key=lambda c: (c.place, c.bank)) for v in valves)

    if draft.cams == "none":
        return ()
    if draft.cams == "block":
        return (Camshaft("1", draft.cam_bearings or len(cylinders) // len(banks) + 1, drives(cylinders, draft.valves)),)
    shafts: list[Camshaft] = []
    for bank in banks:
        row = tuple(c for c in cylinders if c.bank == bank.name)
        bearings = draft.cam_bearings or len(row) + 1
        if draft.cams == "per bank":
            shafts.append(Camshaft(bank.name, bearings, drives(row, draft.valves)))
        else:
            for kind in ("in", "ex"):
                own = tuple(valve for valve in draft.valves if valve[:2] == kind)
                shafts.append(Camshaft(bank.name + kind, bearings, drives(row, own)))
    return tuple(shafts)
