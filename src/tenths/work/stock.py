"""Boxes of shells, rings and the like that a shop keeps for all its engines; tools that are away."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from tenths.errors import BadInput
from tenths.logbook import part_bodies as p
from tenths.logbook.body import Body
from tenths.logbook.build import Mark
from tenths.logbook.fold_parts import day_of
from tenths.work.money import amount

Work = Iterable[tuple[Mark, Body]]


@dataclass(slots=True)
class Box:
    """A kind of box: its card, how many are on the shelf and on their way, and what moved."""

    card: p.BoxListed
    count: int = 0
    coming: int = 0
    promised: str = ""
    moves: list[tuple[Mark, int, str]] = field(default_factory=list[tuple[Mark, int, str]])
    by_engine: dict[str, int] = field(default_factory=lambda: defaultdict[str, int](int))

    @property
    def to_order(self) -> int:
        """How many to order now: up to the level wanted, once shelf and what comes are at the reorder point or below."""
        have = self.count + self.coming
        return max(0, self.card.order_up_to - have) if have <= self.card.reorder_at else 0


def boxes(work: Work) -> dict[str, Box]:
    """The boxes of a shop, as its own log leaves them."""
    found: dict[str, Box] = {}
    for mark, body in work:
        match body:
            case p.BoxListed():
                found[body.box] = Box(body) if body.box not in found else _with_card(found[body.box], body)
            case p.BoxCounted() if body.box in found:
                found[body.box].moves.append((mark, body.count - found[body.box].count, "counted"))
                found[body.box].count = body.count
            case p.BoxMoved() if body.box in found:
                _move(found[body.box], mark, body)
            case p.BoxOrdered() if body.box in found:
                found[body.box].coming += body.count
                found[body.box].promised = body.promised
            case _:
                pass
    return found


def _with_card(box: Box, card: p.BoxListed) -> Box:
    box.card = card
    return box


def _move(box: Box, mark: Mark, body: p.BoxMoved) -> None:
    box.count += body.count
    if body.count > 0 and not body.engine:
        box.coming = max(0, box.coming - body.count)
    if body.engine:
        box.by_engine[body.engine] -= body.count
    box.moves.append((mark, body.count, body.why or body.engine))


def away(work: Work) -> dict[str, str]:
    """Tools that are not there, each with why and until when."""
    found: dict[str, str] = {}
    for _, body in work:
        if isinstance(body, p.ToolAway):
            found[body.tool] = body.why + (f", expected {body.back}" if body.back else "")
        elif isinstance(body, p.ToolBack):
            found.pop(body.tool, None)
    return found


def vet_stock(work: Work, body: Body) -> None:
    """Raises BadInput when a box or a tool is not known, or a number, amount or day cannot be taken."""
    match body:
        case p.BoxListed():
            amount(body.cost, "cost")
            if not body.box.strip() or not body.kind.strip():
                raise BadInput("box: a box needs a name and the kind of part that is in it")
            if body.reorder_at < 0 or body.order_up_to < body.reorder_at:
                raise BadInput(f"reorder: at {body.reorder_at}, up to {body.order_up_to} is not taken; order up to no less than the point")
        case p.BoxCounted() | p.BoxMoved() | p.BoxOrdered():
            known = boxes(work)
            if body.box not in known:
                raise BadInput(f"box: {body.box!r} is not listed; listed are {', '.join(known) or 'none'}")
            _vet_count(known[body.box], body)
        case p.ToolAway():
            day_of(body.back, "back")
            if not body.why.strip():
                raise BadInput("why: say where the tool is")
        case p.ToolBack() if body.tool not in away(work):
            raise BadInput(f"tool: {body.tool!r} is not away; away are {', '.join(away(work)) or 'none'}")
        case _:
            pass


def _vet_count(box: Box, body: p.BoxCounted | p.BoxMoved | p.BoxOrdered) -> None:
    if isinstance(body, p.BoxMoved):
        if box.count + body.count < 0:
            raise BadInput(f"count: {-body.count} of {body.box} cannot go out, {box.count} are on the shelf; count them first")
    elif body.count < (1 if isinstance(body, p.BoxOrdered) else 0):
        raise BadInput(f"count: {body.count} is not taken")
    if isinstance(body, p.BoxOrdered):
        day_of(body.promised, "promised")
