"""A layout as the models of motion, balance and vibration take it: angles in the direction of turning, places along the crank.

`Layout` counts degrees clockwise from the front; `calc` counts radians in the direction in which the crank turns.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import radians

from tenths.calc.balance import Cylinders, reciprocating_share
from tenths.engine.layout import Layout
from tenths.errors import OutOfRange


@dataclass(frozen=True, slots=True)
class Along:
    """Where everything is; all tuples of cylinders in the order of `labels`.

    Attributes:
        labels: of the cylinders, pin by pin from the front.
        banks: angle of each cylinder's axis from straight up [rad].
        throws: angle of each cylinder's crankpin from straight up, with the crank at zero [rad].
        places: of each cylinder along the crank, from the middle of the first throw [m].
        fires: crank angle of each cylinder's firing dead centre, within the cycle [rad].
        mains: of each main along the crank [m].
        throw_places: of the middle of each throw [m].
        throw_of: number of each cylinder's throw, from 0.
    """

    labels: tuple[str, ...]
    banks: tuple[float, ...]
    throws: tuple[float, ...]
    places: tuple[float, ...]
    fires: tuple[float, ...]
    mains: tuple[float, ...]
    throw_places: tuple[float, ...]
    throw_of: tuple[int, ...]

    def cylinders(self, reciprocating: Sequence[float], rotating: Sequence[float] = ()) -> Cylinders:
        """The model of balance with these masses [kg], in the order of the labels."""
        return Cylinders(self.banks, self.throws, self.places, reciprocating, rotating)


def along(layout: Layout, *, spacing: float, rod_pitch: float = 0.0) -> Along:
    """A layout as the models take it.

    Args:
        layout: of the engine.
        spacing: of the bores in one bank [m].
        rod_pitch: middle to middle of two rods on one throw [m].

    Returns:
        Angles [rad] and places [m]. The throws stand evenly, mains midway between them or half a pitch outside; of two
        rods on a throw that of the bank named first stands in front.

    Raises:
        OutOfRange: if the spacing is not above 0 or the rod pitch not from 0 to the pitch of the throws.

    Validity: cranks with even throws. True places of mains matter to the shares of loads, not to balance.
    Source: definition.
    """
    if not spacing > 0.0:
        raise OutOfRange(f"spacing is {spacing:g}: a length above 0 is needed")
    pitch = spacing * max(c.place for c in layout.cylinders) / layout.throws
    if not 0.0 <= rod_pitch < pitch:
        raise OutOfRange(f"rod_pitch is {rod_pitch:g}: 0 to the pitch of the throws, {pitch:g} m, is accepted")
    sign = 1.0 if layout.turns == "clockwise" else -1.0
    each = [layout.cylinder(label) for label in layout.labels]
    pins = [layout.pin(cylinder.pin) for cylinder in each]
    first, after = layout.top_dead_centre(layout.firing_order[0]), layout.firing_angles()
    shift = _beside_each_other([pin.throw for pin in pins])
    return Along(
        layout.labels,
        tuple(radians(sign * layout.bank(cylinder.bank).angle) for cylinder in each),
        tuple(radians(sign * pin.angle) for pin in pins),
        tuple(pitch * (pin.throw - 1) + rod_pitch * aside for pin, aside in zip(pins, shift, strict=True)),
        tuple(radians((first + after[label]) % 720.0) for label in layout.labels),
        tuple(pitch * (throw - 0.5) for throw in layout.main_after_throw),
        tuple(pitch * throw for throw in range(layout.throws)),
        tuple(pin.throw - 1 for pin in pins))


def _beside_each_other(throws: Sequence[int]) -> list[float]:
    """How far each rod stands behind the middle of its throw, in rod pitches."""
    beside = {throw: throws.count(throw) for throw in throws}
    seen: dict[int, int] = {}
    found: list[float] = []
    for throw in throws:
        found.append(seen.get(throw, 0) - (beside[throw] - 1) / 2)
        seen[throw] = seen.get(throw, 0) + 1
    return found


def derived_share(layout: Layout) -> float:
    """Share of the reciprocating mass that bobweights carry, as the layout's own first order asks for [-].

    The share that makes the largest first-order force least; where the layout leaves no force that turns with the crank,
    the share that does so for the couple; 0 where it leaves neither.
    """
    found = reciprocating_share(along(layout, spacing=1.0).cylinders([1.0] * len(layout.cylinders)))
    if found.least_force is not None:
        return found.least_force
    return found.least_couple or 0.0


def in_order(layout: Layout, values: Mapping[str, float]) -> tuple[float, ...]:
    """Values by label in the order of the labels."""
    return tuple(values[label] for label in layout.labels)
