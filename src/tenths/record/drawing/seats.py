"""Where valves stand in a chamber, and the heights of the head over the crank."""

from dataclasses import dataclass

from tenths.engine.layout import Layout
from tenths.record.drawing.sizes import Dimensions, in_block

TILT = 17.0  # of valves that stand across the engine [deg]


@dataclass(frozen=True, slots=True)
class Seat:
    """A valve's place in its chamber: along the crank and across, from the bore's axis [m]; its head's diameter [m]."""

    name: str
    along: float
    across: float
    diameter: float

    @property
    def kind(self) -> str:
        """``in`` or ``ex``."""
        return self.name[:2]


def across(layout: Layout) -> bool:
    """Whether intake and exhaust valves stand on either side of the crank's line rather than along it."""
    separate = any(s.name.endswith(("in", "ex")) for s in layout.camshafts if not in_block(layout, s))
    return separate or len(layout.valves) > 2


def seats(layout: Layout, d: Dimensions, inboard: float) -> list[Seat]:
    """Where the valves of a cylinder stand; the intakes on the `inboard` side, +1 or -1."""
    wide = {"in": d["intake-valve"], "ex": d["exhaust-valve"]}
    found: list[Seat] = []
    for kind in ("in", "ex"):
        own = [v for v in layout.valves if v[:2] == kind]
        for k, name in enumerate(own):
            if across(layout):
                side = (inboard if kind == "in" else -inboard) * 0.225 * d["bore"]
                pitch = 1.06 * wide[kind]
                found.append(Seat(name, (k - (len(own) - 1) / 2) * pitch, side, wide[kind]))
            else:
                shift_ = (-0.5 if kind == "in" else 0.5) * (d["bore"] * 0.96 - wide[kind])
                found.append(Seat(name, shift_ if len(layout.valves) > 1 else 0.0, 0.0, wide[kind]))
    return found


def face(d: Dimensions) -> float:
    """Height of the head's face over the crank [m]."""
    return d["deck-height"] + d["gasket-thickness"]


def top_of_head(d: Dimensions) -> float:
    """Height of the cover over the valve gear [m]."""
    return face(d) + d["chamber-depth"] + d["valve-length"] + d["cover-height"]
