"""What turns with the crank: where each moving group stands, with all that a page needs to move it likewise.

Every group says by ``data-move`` how it moves and by ``data-phase`` where it stands in its cycle at crank angle 0 [deg],
so that its place at any other angle needs nothing but these and the sizes on the drawing itself.
"""

from dataclasses import dataclass
from math import cos, radians, sin

from tenths.record.drawing.pen import attributes, number
from tenths.record.drawing.turning import OPEN, Turn


def _at(x: float, y: float) -> str:
    return f"translate({number(x)} {number(y)})"


def _ride(kind: str, of: str | int, transform: str, **more: float | str) -> str:
    data = {f"data_{name}": f"{value:.6g}" if isinstance(value, float) else value for name, value in more.items()}
    return " " + attributes(data_move=kind, data_of=str(of), **data, transform=transform or None)


@dataclass(frozen=True, slots=True)
class Rides:
    """The attributes of moving groups: a leading blank, ``data-move`` and its data, and where the group stands now.

    Heights and places come out in user units, `k` to the metre.
    """

    turn: Turn
    k: float

    def phase(self, label: str) -> float:
        """Crank angle after the crankpin's own top when the crank stands at 0 [deg]."""
        cylinder = self.turn.layout.cylinder(label)
        return self._phase(cylinder.pin, self.turn.layout.bank(cylinder.bank).angle)

    def _phase(self, pin: int, up: float) -> float:
        turn = self.turn
        return (turn.sense * (turn.layout.pin(pin).angle - up)) % 360.0

    def pin(self, number_: int, up: float) -> str:
        """A crankpin seen from the side: up and down along a direction [deg]."""
        turn = self.turn
        height = turn.d["stroke"] / 2 * cos(radians(turn.pin_angle(number_) - up)) * self.k
        return _ride("pin", number_, _at(0.0, -height), phase=self._phase(number_, up))

    def orbit(self, number_: int, radius: float) -> str:
        """What goes round with a crankpin, at a radius [m] on its side, seen from the front."""
        a, r = radians(self.turn.pin_angle(number_)), radius * self.k
        return _ride("orbit", number_, _at(r * sin(a), -r * cos(a)), phase=self.turn.layout.pin(number_).angle, radius=r)

    def spin(self, number_: int) -> str:
        """What turns about the crank's line, upright when the crankpin is."""
        return _ride("spin", number_, f"rotate({self.turn.pin_angle(number_):.3f})", phase=self.turn.layout.pin(number_).angle)

    def piston(self, label: str, *, lean: float = 0.0, flipped: bool = False) -> str:
        """What goes with the piston pin, along a bore that leans clockwise on the paper [deg]."""
        h, a = self.turn.piston_pin(label) * self.k, radians(lean)
        tail = {"tail": "scale(1 -1)"} if flipped else {}
        return _ride("piston", label, _at(h * sin(a), -h * cos(a)) + (" scale(1 -1)" if flipped else ""),
                     phase=self.phase(label), lean=lean, **tail)

    def rod(self, label: str, way: float) -> str:
        """A rod seen square to the piston pin, its origin there: it shortens as it leans into the paper."""
        h, short = self.turn.piston_pin(label) * self.k, cos(radians(self.turn.rod_lean(label)))
        return _ride("rod", label, f"{_at(0.0, -h * way)} scale(1 {short * way:.5f})", phase=self.phase(label), way=way)

    def swing(self, label: str, *, lean: float = 0.0) -> str:
        """A rod seen along the piston pin, its origin there: it swings."""
        turn = self.turn
        h, side = turn.piston_pin(label) * self.k, turn.piston_side() * self.k
        first = f"rotate({lean:g}) " if lean else ""
        return _ride("swing", label, f"{first}{_at(side, -h)} rotate({turn.rod_lean(label):.4f})", phase=self.phase(label), lean=lean)

    def between(self, label: str, part: float, *, lean: float) -> str:
        """A point of the rod, a part of the way from the piston pin to the crankpin, seen from the front."""
        turn, a = self.turn, radians(self.turn.pin_angle(self.turn.layout.cylinder(label).pin) - lean)
        r, h, side = turn.d["stroke"] / 2 * self.k, turn.piston_pin(label) * self.k, turn.piston_side() * self.k
        x, y, b = side + part * (r * sin(a) - side), h + part * (r * cos(a) - h), radians(lean)
        return _ride("between", label, _at(x * cos(b) + y * sin(b), x * sin(b) - y * cos(b)), phase=self.phase(label),
                     lean=lean, part=part)

    # valves and what lifts them --------------------------------------------------------------------------------------

    def _cam(self, label: str, valve: str) -> float:
        return self.turn.cam_angle(label, valve) - self.turn.crank

    def _lift(self, kind: str, label: str, valve: str, transform: str, **more: float | str) -> str:
        """A group that follows a lift; where the lifts were given for this angle alone, it cannot be moved on."""
        if self.turn.lifts is not None:
            return " " + attributes(transform=transform)
        return _ride(kind, f"{label}.{valve}", transform, phase=self._cam(label, valve), open=OPEN, **more)

    def valve(self, label: str, valve: str) -> str:
        """A valve, its stem upwards."""
        return self._lift("valve", label, valve, _at(0.0, self.turn.lift(label, valve) * self.k),
                          lift=self.turn.d["valve-lift"] * self.k)

    def spring(self, label: str, valve: str, at: tuple[float, float], length: float) -> str:
        """A valve spring that stands at a place [m] with its free length [m]; it is pressed together by the lift."""
        part = 1.0 - self.turn.lift(label, valve) / length
        x, y = at[0] * self.k, -at[1] * self.k
        return self._lift("spring", label, valve, f"{_at(x, y)} scale(1 {part:.5f})", x=x, y=y, length=length * self.k,
                          lift=self.turn.d["valve-lift"] * self.k)

    def lifter(self, label: str, valve: str, rise: float) -> str:
        """A lifter that is raised by up to `rise` [m], + up on the paper."""
        raised = rise * self.turn.lift(label, valve) / self.turn.d["valve-lift"] * self.k
        return self._lift("lifter", label, valve, _at(0.0, -raised), lift=-rise * self.k)

    def lobe(self, label: str, valve: str, at: tuple[float, float], towards: float) -> str:
        """A lobe seen along its shaft at a place [m]; `towards` is the direction [deg] in which it lifts."""
        x, y = at[0] * self.k, -at[1] * self.k
        turned = towards + self.turn.sense * self.turn.cam_angle(label, valve) / 2
        return _ride("lobe", f"{label}.{valve}", f"{_at(x, y)} rotate({turned:.2f})", phase=self._cam(label, valve), x=x, y=y,
                     towards=towards)

    def lobe_side(self, label: str, valve: str, y: float, base: float, tip: float, *, down: bool) -> str:
        """A lobe seen from the side of its shaft at a height [m]; the page sets its upper and lower edge."""
        return _ride("lobe-side", f"{label}.{valve}", "", phase=self._cam(label, valve), y=-y * self.k, base=base * self.k,
                     tip=tip * self.k, down=float(down))

    # the crank from the side -----------------------------------------------------------------------------------------

    def cheek(self, pins: tuple[int, ...], up: float, half: float, hub: float) -> str:
        """A cheek: it reaches `half` [m] round its crankpins and `hub` [m] round the main."""
        phases = " ".join(f"{self._phase(n, up):g}" for n in pins)
        return _ride("cheek", " ".join(map(str, pins)), "", phases=phases, half=half * self.k, hub=hub * self.k)

    def counterweight(self, pin: int, up: float, radius: float, half: float) -> str:
        """A counterweight opposite a crankpin: a sector of a radius [m], `half` [rad] to either side."""
        return _ride("counterweight", pin, "", phase=self._phase(pin, up), radius=radius * self.k, half=half)
