"""Parts on their way, as the fold keeps them: whether they are in the house, and where else."""

from collections.abc import Callable
from datetime import date
from typing import Any

import msgspec

from tenths.errors import BadInput
from tenths.logbook import part_bodies as p
from tenths.logbook.body import Body
from tenths.logbook.build import Build, Mark, Part


def day_of(text: str, field: str) -> date | None:
    """The day that a text names, year first; None for an empty one; raises BadInput for what is no day."""
    if not text.strip():
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise BadInput(f"{field}: {text!r} is not a day; write it year first, such as 2026-03-31") from None


def _part(build: Build, name: str) -> Part:
    part = build.parts.get(name)
    if part is None:
        raise BadInput(f"part: {name!r} is not listed; listed are {', '.join(build.parts) or 'none'}")
    return part


def _moved(build: Build, name: str, *, in_house: bool, **card: str) -> None:
    part = _part(build, name)
    part.card, part.in_house = msgspec.structs.replace(part.card, **card), in_house


def _known(build: Build, _mark: Mark, body: p.PartSourced | p.PartShelved) -> None:
    _part(build, body.part)


def _ordered(build: Build, _mark: Mark, body: p.PartOrdered) -> None:
    day_of(body.promised, "promised")
    if body.quantity < 1:
        raise BadInput(f"quantity: {body.quantity} is not taken; order one or more")
    old = _part(build, body.part).card
    _moved(build, body.part, in_house=False, where="on order", supplier=body.supplier, promised=body.promised, cost=body.cost or old.cost)


def _promised(build: Build, _mark: Mark, body: p.PartPromised) -> None:
    day_of(body.promised, "promised")
    part = _part(build, body.part)
    _moved(build, body.part, in_house=part.in_house, promised=body.promised)


def _inspected(build: Build, _mark: Mark, body: p.PartInspected) -> None:
    _moved(build, body.part, in_house=body.fits, where="in the house" if body.fits else "not as ordered")


def _returned(build: Build, _mark: Mark, body: p.PartReturned) -> None:
    if not body.reason.strip():
        raise BadInput("reason: say why it goes back")
    _moved(build, body.part, in_house=False, where="returned")


def _sent(build: Build, _mark: Mark, body: p.WorkSent) -> None:
    day_of(body.promised, "promised")
    if any(isinstance(b, p.WorkSent) and b.work == body.work for _, b in build.work):
        raise BadInput(f"work: {body.work!r} is the name of other work already; give another")
    _moved(build, body.part, in_house=False, where=f"out at {body.supplier}", promised=body.promised)


def _back(build: Build, _mark: Mark, body: p.WorkBack) -> None:
    sent = next((b for _, b in build.work if isinstance(b, p.WorkSent) and b.work == body.work), None)
    if sent is None:
        raise BadInput(f"work: {body.work!r} was not sent out")
    _moved(build, sent.part, in_house=body.fits, where="in the house" if body.fits else "back, not as ordered")


PART_STEPS: dict[type[Body], Callable[[Build, Mark, Any], None]] = {
    p.PartSourced: _known, p.PartOrdered: _ordered, p.PartPromised: _promised, p.PartInspected: _inspected, p.PartShelved: _known,
    p.PartReturned: _returned, p.WorkSent: _sent, p.WorkBack: _back,
}
