"""How the parts stand at a crank angle: crankpins, pistons, rods, valves, lobes."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import cos, degrees, pi, radians, sqrt

from tenths.calc.motion import piston_depth, rod_angle
from tenths.engine.layout import CYCLE, Layout
from tenths.record.drawing.sizes import Dimensions

INTAKE_CENTRE, EXHAUST_CENTRE, OPEN = 108.0, 112.0, 250.0  # usual lobe centres and duration [deg crank]


@dataclass(frozen=True)
class Turn:
    """An engine at a crank angle [deg]; lifts of valves may be given by station [m], else a usual cam is assumed."""

    layout: Layout
    d: Dimensions
    crank: float
    lifts: Mapping[str, float] | None = None

    @property
    def sense(self) -> float:
        """+1 when the crank turns clockwise seen from the front."""
        return 1.0 if self.layout.turns == "clockwise" else -1.0

    def pin_angle(self, number: int) -> float:
        """Where a crankpin stands, from straight up, clockwise seen from the front [deg]."""
        return (self.layout.pin(number).angle + self.sense * self.crank) % 360.0

    def after_top(self, label: str) -> float:
        """Crank angle since the crankpin stood in line with the bore, the way the crank turns [rad]."""
        cylinder = self.layout.cylinder(label)
        return radians(self.sense * (self.pin_angle(cylinder.pin) - self.layout.bank(cylinder.bank).angle))

    def piston_pin(self, label: str) -> float:
        """Height of the piston pin over the crank centre line, along the bore [m]."""
        stroke, rod, offset = self.d["stroke"], self.d["rod-length"], self.d["pin-offset"]
        highest = sqrt((rod + stroke / 2) ** 2 - offset**2)
        depth = piston_depth(self.after_top(label), stroke=stroke, rod_length=rod, pin_offset=offset)
        return highest - depth

    def piston_side(self) -> float:
        """Where the piston pin stands beside the bore's axis, seen from the front, right + [m]."""
        return -self.sense * self.d["pin-offset"]

    def rod_lean(self, label: str) -> float:
        """Lean of the rod from its piston pin down, clockwise from the bore's axis upwards seen from the front [deg]."""
        lean = rod_angle(self.after_top(label), stroke=self.d["stroke"], rod_length=self.d["rod-length"],
                         pin_offset=self.d["pin-offset"])
        return -self.sense * degrees(lean)

    def cam_angle(self, label: str, valve: str) -> float:
        """Crank angle from the valve's greatest lift [deg, -360 to 360)."""
        fires = self.layout.top_dead_centre(self.layout.firing_order[0]) + self.layout.firing_angles()[label]
        centre = fires + 360.0 + (INTAKE_CENTRE if valve.startswith("in") else -EXHAUST_CENTRE)
        return (self.crank - centre + 360.0) % CYCLE - 360.0

    def lift(self, label: str, valve: str) -> float:
        """Lift of a valve [m]: given, or of a usual cam."""
        if self.lifts is not None:
            return self.lifts.get(f"valve.{label}.{valve}", 0.0)
        off = abs(self.cam_angle(label, valve))
        return self.d["valve-lift"] * cos(pi / 2 * off / (OPEN / 2)) ** 2 if off < OPEN / 2 else 0.0
