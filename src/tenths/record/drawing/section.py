"""The long section: crankshaft from front to rear, and the banks that lie in the plane of the paper.

A bank of a V engine is turned into the plane, as drawing offices do, so every length along its bores is true.
"""

from math import cos, isclose, radians

from tenths.engine.layout import Bank, Layout
from tenths.record.drawing.along import Along, Cheek, Span
from tenths.record.drawing.pen import Pen, Point
from tenths.record.drawing.seats import top_of_head
from tenths.record.drawing.shafts import drawn_out, on_the_head, overhead, strip_height
from tenths.record.drawing.sheet import SMALL, Frame, Sheet, Spot, sector
from tenths.record.drawing.sizes import Dimensions, in_block
from tenths.record.drawing.valves import head_seen_along, valve_spots_along

HALF_SECTOR = radians(62.0)  # of a counterweight


class Section:
    """The section with a bank's direction [deg] upwards on the paper."""

    def __init__(self, layout: Layout, d: Dimensions, places: Along, up: float) -> None:
        self.layout, self.d, self.places, self.up = layout, d, places, up
        self.block_cams = [s for s in layout.camshafts if in_block(layout, s)]

    def frame(self) -> Frame:
        """What it shows."""
        d, b = self.d, self.d["bore"]
        low = bottom(d, opposed=self.opposed()) - (self._gap() + strip_height(d) if self.block_cams else 0.0)
        return Frame((self.places.front - 0.50 * b, self.places.rear + 0.24 * b), (low, top_of_head(d) + 0.05 * b),
                     (70.0 if self._shafts() else 44.0, 84.0, 30.0, 30.0 if self.opposed() else 8.0))

    def _shafts(self) -> bool:
        return bool(self.block_cams) or any(overhead(self.layout, bank) for bank, _ in self.banks())

    def _gap(self) -> float:
        """Between the engine and a camshaft drawn out below it [m]."""
        return (0.42 if self.opposed() else 0.08) * self.d["bore"]

    def opposed(self) -> bool:
        """Whether banks lie in the plane on both sides of the crank."""
        return len({way for _, way in self.banks()}) > 1

    def banks(self) -> list[tuple[Bank, float]]:
        """Banks in the plane: (bank, +1 up or -1 down)."""
        found: list[tuple[Bank, float]] = []
        for bank in self.layout.banks:
            lean = cos(radians(bank.angle - self.up))
            if isclose(abs(lean), 1.0, abs_tol=1e-3):
                found.append((bank, 1.0 if lean > 0 else -1.0))
        return found

    def draw(self, sheet: Sheet) -> None:
        """Draw it."""
        self.sheet, self.pen = sheet, sheet.pen
        self._covers()
        for bank, way in self.banks():
            self._bank(bank, way)
        self._mains()
        self._crank()
        self._rods_and_pistons()
        self._whole()
        for shaft in self.block_cams:
            drawn_out(sheet, shaft, self._cam_line())

    # crankcase -------------------------------------------------------------------------------------------------

    def _covers(self) -> None:
        """The crankcase behind the section, and the sump, as thin outlines."""
        d, places = self.d, self.places
        opposed = self.opposed()
        low = roof(d) * -1 if opposed else -sweep(d) - 0.10 * d["bore"]
        self.pen.rect("cover", (places.front, places.rear), (roof(d), low), 0.06 * d["bore"])
        if not opposed:
            self.pen.line("thin", (places.front, rail(d)), (places.rear, rail(d)))

    def _bank(self, bank: Bank, way: float) -> None:
        pen = self.pen
        pen.begin(f'class="dr-bank" data-bank="{bank.name}"' + (' transform="scale(1 -1)"' if way < 0 else ""))
        self._block(pen, bank)
        head_seen_along(self.sheet, bank)
        on_the_head(self.sheet, bank, way)
        pen.end()
        self._bank_spots(bank, way)
        valve_spots_along(self.sheet, bank, way)

    def _block(self, pen: Pen, bank: Bank) -> None:
        d, places = self.d, self.places
        bores = [places.bores[c.label] for c in self.layout.on_bank(bank.name)]
        edges = [places.front, *(x + s * d["bore"] / 2 for x in bores for s in (-1, 1)), places.rear]
        walls = [(edges[k], edges[k + 1]) for k in range(0, len(edges), 2)]
        foot, deck = d["deck-height"] - d["bore-length"], d["deck-height"]
        pieces = [pen.box(wall, (foot, deck)) for wall in walls]
        for x0, x1 in places.mains.values():
            pieces.append(pen.box(bulkhead((x0, x1)), (housing(d), foot + 0.02 * d["bore"])))
        pen.solid("".join(pieces), guess=d.guess("bore", "deck-height"))
        for wall in walls:
            if wall[1] - wall[0] > 0.2 * d["bore"]:
                jacket = (wall[0] + 0.07 * d["bore"], wall[1] - 0.07 * d["bore"])
                pen.rect("cover", jacket, (foot + 0.22 * d["bore"], deck - 0.11 * d["bore"]), 0.05 * d["bore"])
        for x in bores:
            pen.line("centre", (x, -0.10 * d["bore"] + d["stroke"] / 2), (x, top_of_head(d) + 0.05 * d["bore"]))

    def _bank_spots(self, bank: Bank, way: float) -> None:
        d, places, pen = self.d, self.places, self.pen
        deck, foot = d["deck-height"], d["deck-height"] - d["bore-length"]
        front = places.front
        gap = 23.0 / pen.k
        rows = (("deck", -1.1), ("gasket", 0.0), ("head", 1.1))
        for kind, step in rows:
            at = (front - 14.0 / pen.k, way * (deck + step * gap))
            self.sheet.mark(f"{kind}.{bank.name}", Spot(at, pen.disc(at, 11.0 / pen.k), kind,
                                                        (at[0] - 13.0 / pen.k, at[1]), anchor="end"))
        for cylinder in self.layout.on_bank(bank.name):
            x, half = places.bores[cylinder.label], d["bore"] / 2
            bore = pen.box((x - half, x + half), (way * foot, way * deck))
            top = way * (top_of_head(d) + 0.05 * d["bore"] + 15.0 / pen.k)
            self.sheet.mark(f"cyl.{cylinder.label}", Spot(
                (x - 8.0 / pen.k, top), bore, cylinder.label, (x + 6.0 / pen.k, top), anchor="start"))

    # bearings and crank ----------------------------------------------------------------------------------------

    def _mains(self) -> None:
        d, pen = self.d, self.pen
        r, outer = d["main-journal"] / 2, housing(d)
        opposed = self.opposed()
        caps: list[str] = []
        for number, span in self.places.mains.items():
            if not opposed:
                caps.append(pen.box(bulkhead(span), (-outer, -outer - 0.17 * d["bore"])))
            at = ((span[0] + span[1]) / 2, 0.0)
            self.sheet.mark(f"main.{number}", Spot(
                at, pen.box(span, (-outer, outer)), str(number),
                (at[0], -outer - (0.085 if not opposed else 0.07) * d["bore"])))
        if caps:
            pen.solid("".join(caps), "hatch-b")
        for number, span in self.places.mains.items():
            for side in (1, -1):
                pen.rect("shell", span, (side * r, side * outer))
            if number == self.layout.thrust_main:
                self._thrust(span, r, outer)

    def _thrust(self, span: Span, r: float, outer: float) -> None:
        d, pen = self.d, self.pen
        ends = bulkhead(span)
        thick = 0.022 * d["bore"]
        for x in ((ends[0] - thick, ends[0]), (ends[1], ends[1] + thick)):
            for side in (1, -1):
                pen.rect("shell", x, (side * r, side * (outer + 0.06 * d["bore"])))
        at = (ends[1] + thick / 2, -(outer + 0.03 * d["bore"]))
        self.sheet.mark("thrust", Spot(at, pen.box((ends[0] - thick, ends[1] + thick), (r, outer + 0.06 * d["bore"])),
                                       r=SMALL + 1))

    def _crank(self) -> None:
        d, pen, places = self.d, self.pen, self.places
        guess = "?" if d.guess("stroke") else ""
        self._ends()
        for cheek in places.cheeks:
            self._cheek(cheek, guess)
        for span in places.mains.values():
            pen.rect("steel" + ("?" if d.guess("main-journal") else ""), span,
                     (d["main-journal"] / 2, -d["main-journal"] / 2))
        for number, span in places.pins.items():
            ride = self.sheet.rides.pin(number, self.up)
            pen.begin(f'class="dr-pin"{ride}')
            pen.rect("steel" + ("?" if d.guess("pin-journal") else ""), span,
                     (d["pin-journal"] / 2, -d["pin-journal"] / 2))
            pen.end()
            r = d["pin-journal"] / 2
            self.sheet.mark(f"pin.{number}", Spot(
                ((span[0] + span[1]) / 2, -r + 9.0 / pen.k), pen.box(span, (-r, r)), r=7.4, ride=ride))
        pen.line("centre", (places.front - 0.52 * d["bore"], 0.0), (places.rear + 0.30 * d["bore"], 0.0))

    def _ends(self) -> None:
        d, pen, places = self.d, self.pen, self.places
        b, first, last = d["bore"], places.mains[1], places.mains[len(places.mains)]
        pen.rect("steel", (places.front - 0.40 * b, first[0]), (0.155 * b, -0.155 * b), 0.01 * b)
        pen.rect("steel", (places.front - 0.24 * b, places.front - 0.06 * b), (0.40 * b, -0.40 * b), 0.03 * b)
        for y in (-0.2, -0.1, 0.1, 0.2):
            pen.line("thin", (places.front - 0.24 * b, y * 1.7 * b), (places.front - 0.06 * b, y * 1.7 * b))
        flange = max(places.rear, last[1])
        pen.rect("steel", (last[1], flange + 0.05 * b), (0.36 * b, -0.36 * b))
        pen.rect("steel", (flange + 0.05 * b, flange + 0.16 * b), (0.46 * b, -0.46 * b), 0.012 * b)
        at = (places.front - 0.33 * b, 0.0)
        self.sheet.mark("crank", Spot(at, pen.box((places.front - 0.40 * b, places.front), (0.16 * b, -0.16 * b))))

    def _cheek(self, cheek: Cheek, guess: str) -> None:
        d, pen, r = self.d, self.pen, self.d["stroke"] / 2
        angles = [radians(self.sheet.turn.pin_angle(n) - self.up) for n in cheek.pins]
        half, hub = 0.60 * d["pin-journal"], 0.0 if len(angles) > 1 and not cheek.at_main else 0.54 * d["main-journal"]
        ends = [r * cos(a) + s * half for a in angles for s in (1, -1)] + ([hub, -hub] if hub else [])
        if cheek.at_main:
            low, high = sector(d["counterweight"], angles[0] + radians(180), HALF_SECTOR)
            ride = self.sheet.rides.counterweight(cheek.pins[0], self.up, d["counterweight"], HALF_SECTOR)
            pen.begin(f'class="dr-counterweight"{ride}')
            pen.rect("steel-deep" + guess, cheek.span, (low, high), 0.025 * d["bore"])
            pen.end()
        pen.begin(f'class="dr-cheek"{self.sheet.rides.cheek(tuple(cheek.pins), self.up, half, hub)}')
        pen.rect("steel" + guess, cheek.span, (min(ends), max(ends)), 0.04 * d["bore"])
        pen.end()

    # rods and pistons ------------------------------------------------------------------------------------------

    def _rods_and_pistons(self) -> None:
        ways = {bank.name: way for bank, way in self.banks()}
        for cylinder in self.layout.cylinders:
            if cylinder.bank not in ways:
                self._far_rod(cylinder.label, cylinder.pin)
        for cylinder in self.layout.cylinders:
            if cylinder.bank in ways:
                way = ways[cylinder.bank]
                self._rod(cylinder.label, way)
                self._piston(cylinder.label, way)

    def _far_rod(self, label: str, pin: int) -> None:
        """Of a rod that runs into or out of the paper only the big end is drawn."""
        pen, d, (x0, x1) = self.pen, self.d, self.places.rods[label]
        ride = self.sheet.rides.pin(pin, self.up)
        outer = big_end(d)
        pen.begin(f'class="dr-rod dr-rod-far"{ride}')
        pen.rect("rod", (x0, x1), (outer * 0.98, -outer * 0.98), 0.02 * d["bore"])
        pen.line("thin", (x0, 0.0), (x1, 0.0))
        pen.end()
        self.sheet.mark(f"rod.{label}", Spot(((x0 + x1) / 2, outer * 0.55), pen.box((x0, x1), (-outer, outer)),
                                             r=7.4, ride=ride))

    def _rod(self, label: str, way: float) -> None:
        pen, d, (x0, x1) = self.pen, self.d, self.places.rods[label]
        x, half, long = (x0 + x1) / 2, (x1 - x0) / 2, d["rod-length"]
        big, small = big_end(d), d["piston-pin"] * 0.82
        shank, eye = half * 0.52, half * 0.78
        right: list[Point] = [(eye, small), (eye, -small * 0.8), (shank, -small * 1.5), (shank, -long + big * 1.7),
                              (half, -long + big * 1.05), (half, -long - big)]
        outline = [(x + a, b) for a, b in right] + [(x - a, b) for a, b in reversed(right)]
        pen.begin(f'class="dr-rod"{self.sheet.rides.rod(label, way)}')
        pen.shape("rod" + ("?" if d.guess("rod-length") else ""), outline)
        pen.line("thin", (x0, -long), (x1, -long))
        pen.line("thin", (x, -small * 1.6), (x, -long + big * 1.5))
        pen.rect("steel-deep", (x - half * 0.34, x + half * 0.34), (-long - big, -long - big - 0.045 * d["bore"]))
        pen.end()
        self.sheet.mark(f"rod.{label}", Spot((x, way * (-long + big * 1.7 + 11.0 / pen.k)),
                                             pen.track((a, b * way) for a, b in outline) + "Z", r=7.4,
                                             ride=self.sheet.rides.piston(label, lean=90.0 - 90.0 * way)))

    def _piston(self, label: str, way: float) -> None:
        pen, rides, lean = self.pen, self.sheet.rides, 90.0 - 90.0 * way
        pen.begin(f'class="dr-piston"{rides.piston(label, lean=lean, flipped=way < 0)}')
        piston_seen_along(pen, self.sheet, self.places.bores[label])
        pen.end()
        self._piston_spots(label, way, rides.piston(label, lean=lean))

    def _piston_spots(self, label: str, way: float, ride: str) -> None:
        pen, d, x = self.pen, self.d, self.places.bores[label]
        crown, foot, half = d["compression-height"], d["compression-height"] - d["piston-height"], d["bore"] / 2
        body = pen.box((x - half, x + half), (way * crown, way * foot))
        self.sheet.mark(f"cyl.{label}.piston", Spot((x - 0.30 * d["bore"], way * foot * 0.55), body, r=7.4, ride=ride))
        pin = d["piston-pin"] / 2
        self.sheet.mark(f"cyl.{label}.pin", Spot((x + 0.30 * d["bore"], 0.0),
                                                 pen.box((x - 0.42 * d["bore"], x + 0.42 * d["bore"]), (-pin, pin)),
                                                 r=SMALL + 1, ride=ride))
        step = min(0.27 * d["bore"], 17.0 / pen.k)
        for k, (name, place) in enumerate(ring_places(self.sheet)):
            at = (x + 0.5 * d["bore"] - (0.55 + k) * step, way * place)
            self.sheet.mark(f"cyl.{label}.ring.{name}", Spot(
                at, pen.box((x - half, x + half), (way * (place - 0.018 * d["bore"]), way * (place + 0.018 * d["bore"]))),
                r=SMALL, ride=ride))

    def _whole(self) -> None:
        """The engine and its block: marked together at the rear."""
        d, pen, places = self.d, self.pen, self.places
        edge = places.rear + 16.0 / pen.k
        for name, height in (("engine", d["deck-height"] + 22.0 / pen.k), ("block", d["deck-height"] * 0.62)):
            at = (edge, height)
            self.sheet.mark(name, Spot(at, pen.disc(at, 11.0 / pen.k), name, (edge + 13.0 / pen.k, height),
                                       anchor="start"))
        self._outside()

    def _outside(self) -> None:
        """Seals, drive, oil pump and pan: marked beside the ends of the crank, where they hang."""
        pen, b, rear = self.pen, self.d["bore"], ["seal.rear", "pump", "pan"]
        step, out = 24.0 / pen.k, 16.0 / pen.k
        front = [*(["timing"] if self.layout.camshafts else []), "seal.front"]
        top = min(rail(self.d) + 0.5 * step, -0.40 * b - 12.0 / pen.k)  # under the pulley
        while front and self.block_cams and top - (len(front) - 1) * step < self._cam_line() + 21.0 / pen.k:
            rear.insert(0, front.pop())  # a small paper has no room over the words of the camshaft
        self._column(front, (self.places.front - out, top), -1.0)
        clear = 0.16 * b < out - 9.0 / pen.k
        self._column(rear, (self.places.rear + out, rail(self.d) + 1.5 * step if clear else min(rail(self.d) + 0.5 * step, -0.46 * b)), 1.0)

    def _cam_line(self) -> float:
        """Height of the camshaft drawn out below the engine [m]."""
        return bottom(self.d, opposed=self.opposed()) - self._gap() - strip_height(self.d) / 2

    def _column(self, names: list[str], at: Point, side: float) -> None:
        """Stations under each other, their words to a side."""
        pen = self.pen
        for row, name in enumerate(names):
            here = (at[0], at[1] - row * 24.0 / pen.k)
            both = {"seal.front", "seal.rear"} <= set(names)
            words = name if not name.startswith("seal") else f"{name.removeprefix('seal.')} seal" if both else "seal"
            self.sheet.mark(name, Spot(here, pen.disc(here, 11.0 / pen.k), words, (at[0] + side * 13.0 / pen.k, here[1]),
                                       anchor="start" if side > 0 else "end"))


def piston_seen_along(pen: Pen, sheet: Sheet, x: float) -> None:
    """A piston seen square to its pin, its origin at the pin."""
    d, b = sheet.d, sheet.d["bore"]
    crown, half = d["compression-height"], 0.494 * b
    foot = crown - d["piston-height"]
    waist = 0.34 * b
    belt = ring_places(sheet)[-1][1] - 0.05 * b
    guess = "?" if d.guess("bore", "compression-height") else ""
    slope = max(belt - 0.11 * b, foot * 0.1)
    pen.shape("alloy" + guess, [(x - half, crown), (x + half, crown), (x + half, belt), (x + waist, slope),
                                (x + waist, foot), (x - waist, foot), (x - waist, slope), (x - half, belt)])
    pen.line("thin", (x - waist * 0.86, slope - 0.02 * b), (x - waist * 0.86, foot))
    pen.line("thin", (x + waist * 0.86, slope - 0.02 * b), (x + waist * 0.86, foot))
    pin = d["piston-pin"] / 2
    pen.rect("hidden", (x - waist, x + waist), (-pin, pin), 0.01 * b)
    for _, place in ring_places(sheet):
        pen.rect("shell", (x - 0.499 * b, x + 0.499 * b), (place - 0.011 * b, place + 0.011 * b))


def ring_places(sheet: Sheet) -> list[tuple[str, float]]:
    """Heights of the rings over the piston pin [m]."""
    d = sheet.d
    top = d["compression-height"] - 0.07 * d["bore"]
    room = min(0.085 * d["bore"], (top - d["piston-pin"] * 0.55) / max(len(sheet.layout.rings) - 1, 1))
    return [(name, top - k * room) for k, name in enumerate(sheet.layout.rings)]


def bulkhead(span: Span) -> Span:
    """The web of the block over a main bearing, a little narrower than the journal."""
    slim = 0.09 * (span[1] - span[0])
    return span[0] + slim, span[1] - slim


def housing(d: Dimensions) -> float:
    """Radius of a main bearing's housing [m]."""
    return d["main-journal"] / 2 + 0.032 * d["bore"]


def big_end(d: Dimensions) -> float:
    """Outer radius of a rod's big end [m]."""
    return d["pin-journal"] / 2 + 0.10 * d["bore"]


def sweep(d: Dimensions) -> float:
    """Radius that the crank and the big ends sweep [m]."""
    return max(d["stroke"] / 2 + big_end(d) + 0.05 * d["bore"], d["counterweight"])


def roof(d: Dimensions) -> float:
    """Height of the crankcase's roof over the crank [m]."""
    return d["deck-height"] - d["bore-length"] + 0.10 * d["bore"]


def rail(d: Dimensions) -> float:
    """Height of the rail that the sump hangs on [m]."""
    return -housing(d) - 0.21 * d["bore"]


def bottom(d: Dimensions, *, opposed: bool) -> float:
    """Lowest line of the section without camshafts [m]."""
    if opposed:
        return -top_of_head(d) - 0.05 * d["bore"]
    return min(-sweep(d) - 0.10 * d["bore"], rail(d))
