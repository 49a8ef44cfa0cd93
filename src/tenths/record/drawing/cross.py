"""The end view: a cut across the first cylinder of each bank, seen from the front of the engine."""

from math import asin, cos, degrees, radians, sin

from tenths.engine.layout import Bank, Camshaft, Cylinder, Layout
from tenths.record.drawing.along import Along
from tenths.record.drawing.pen import Point
from tenths.record.drawing.seats import TILT, Seat, across, face, seats, top_of_head
from tenths.record.drawing.section import big_end, housing, rail, ring_places, roof, sweep
from tenths.record.drawing.shafts import base_radius, lift_of_lobe, overhead
from tenths.record.drawing.sheet import SMALL, Frame, Sheet, Spot, shift, spring, turned
from tenths.record.drawing.sizes import Dimensions, in_block
from tenths.record.drawing.valves import upright_valve

HALF_SECTOR = 62.0  # of a counterweight [deg]


class Cross:
    """The end view; up on the paper is up on the engine."""

    up = 0.0

    def __init__(self, layout: Layout, d: Dimensions, places: Along) -> None:
        self.layout, self.d, self.places = layout, d, places
        self.block_cams = [s for s in layout.camshafts if in_block(layout, s)]

    def frame(self) -> Frame:
        """What it shows."""
        d, b = self.d, self.d["bore"]
        outer = sweep(d) + 0.13 * b
        points = [(-outer, self._foot()), (outer, outer)]
        for bank in self.layout.banks:
            half = max(self._half(), self._cover()) + 0.06 * b
            points += [turned((side * half, top_of_head(d) + 0.10 * b), bank.angle) for side in (1, -1)]
        reach = d["cam-journal"] / 2 + 0.14 * b
        for x, y in map(self.cam_place, self.block_cams):
            points += [(x - reach, y - reach), (x + reach, y + reach)]
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        return Frame((min(xs), max(xs)), (min(ys), max(ys)), (70.0, 54.0, 30.0, 14.0))

    def _half(self) -> float:
        """Half the width of a bank of the block [m]."""
        return 0.5 * self.d["bore"] + 0.13 * self.d["bore"]

    def _foot(self) -> float:
        """Lowest line of the sump [m]."""
        return min(-sweep(self.d) - 0.12 * self.d["bore"], rail(self.d) - 0.05 * self.d["bore"])

    def first(self, bank: Bank) -> Cylinder:
        """The front cylinder of a bank."""
        return self.layout.on_bank(bank.name)[0]

    def draw(self, sheet: Sheet) -> None:
        """Draw it."""
        self.sheet, self.pen = sheet, sheet.pen
        self._sump()
        self._block()
        for bank in self.layout.banks:
            self._bank(bank)
        for shaft in self.block_cams:
            self._block_cam(shaft)
        self._crank()
        for bank in reversed(self.layout.banks):
            self._rod_and_piston(bank)
        self._spots()

    # the block ---------------------------------------------------------------------------------------------------

    def _sump(self) -> None:
        d, half = self.d, sweep(self.d) + 0.06 * self.d["bore"]
        self.pen.rect("cover", (-half, half), (0.0, self._foot()), 0.10 * d["bore"])

    def _block(self) -> None:
        """Banks and crankcase as one cut wall: outer shapes joined, inner shapes taken out."""
        d, pen, b = self.d, self.pen, self.d["bore"]
        room, wall = sweep(d), 0.075 * d["bore"]
        low = rail(d) if not self._lying() else -room * 0.75
        outer, inner = [self._case(room + wall, low)], [self._case(room, low)]
        outer.append(pen.box((-room - wall, room + wall), (low, 0.0)))
        inner.append(pen.box((-room, room), (low, 0.0)))
        outer.append(pen.box((-room - 1.9 * wall, room + 1.9 * wall), (low, low + 0.06 * b)))
        for bank in self.layout.banks:
            outer.append(self._turned_box((self._half(), -self._half()), (0.2 * room, d["deck-height"]), bank.angle))
            inner.append(self._turned_box((b / 2, -b / 2), (0.2 * room, d["deck-height"]), bank.angle))
        for shaft in self.block_cams:
            at = self.cam_place(shaft)
            outer.append(pen.disc(at, d["cam-journal"] / 2 + 0.11 * b))
            inner.append(pen.disc(at, d["cam-journal"] / 2 + 0.03 * b))
            outer.append(self._bridge(at))
        pen.solid("".join(outer), guess=d.guess("bore", "deck-height"))
        pen.cavity("".join(inner))
        pen.line("thin", (-room - 1.9 * wall, low), (room + 1.9 * wall, low))
        for bank in self.layout.banks:
            self._jackets(bank)

    def _case(self, r: float, low: float) -> str:
        """The round of the crankcase, cut off at the rail of the sump."""
        if low <= -r:
            return self.pen.disc((0.0, 0.0), r)
        x = (r * r - low * low) ** 0.5
        return f"M{self.pen.at((-x, low))}{self.pen.arc(r, (x, low), large=True)}Z"

    def _lying(self) -> bool:
        return all(abs(bank.angle) > 60.0 for bank in self.layout.banks)

    def _bridge(self, at: Point) -> str:
        """The wall that holds a camshaft's tunnel to the crankcase."""
        d, pen = self.d, self.pen
        half = d["cam-journal"] / 2 + 0.11 * d["bore"]
        angle = degrees(asin(max(-1.0, min(1.0, at[0] / max((at[0] ** 2 + at[1] ** 2) ** 0.5, 1e-9)))))
        distance = (at[0] ** 2 + at[1] ** 2) ** 0.5
        corners = [turned(p, angle) for p in ((-half, distance), (half, distance), (half, 0.0), (-half, 0.0))]
        return pen.track(corners) + "Z"

    def _turned_box(self, x: tuple[float, float], y: tuple[float, float], angle: float) -> str:
        (xa, xb), (ya, yb) = sorted(x), sorted(y)
        corners = [turned(p, angle) for p in ((xa, yb), (xb, yb), (xb, ya), (xa, ya))]
        return self.pen.track(corners) + "Z"

    def _jackets(self, bank: Bank) -> None:
        d, pen, b = self.d, self.pen, self.d["bore"]
        low = max(roof(d) + 0.10 * b, sweep(d) + 0.18 * b)
        high = d["deck-height"] - 0.11 * b
        pen.begin(f'class="dr-bank" data-bank="{bank.name}" transform="rotate({bank.angle:g})"')
        for side in (1, -1):
            if high - low > 0.15 * b:
                pen.rect("cover", (side * 0.545 * b, side * 0.595 * b), (low, high), 0.025 * b)
        pen.end()

    # the head ----------------------------------------------------------------------------------------------------

    def _bank(self, bank: Bank) -> None:
        d, pen, b = self.d, self.pen, self.d["bore"]
        half, base, top = self._half(), face(d), face(d) + d["head-height"]
        pen.begin(f'class="dr-bank" data-bank="{bank.name}" transform="rotate({bank.angle:g})"')
        if self.layout.camshafts:
            wide = self._cover()
            pen.rect("cover", (-wide, wide), (top, top_of_head(d)), 0.14 * b)
        pen.rect("cover", (-half, half), (base, top))
        self._fire_deck(half, base)
        pen.rect("shell", (-half, half), (d["deck-height"], base))
        for seat in self._front_seats(bank):
            self._valve(bank, seat)
        self._overhead(bank)
        pen.rect("outline", (-half, half), (base, top))
        pen.line("centre", (0.0, -0.12 * b), (0.0, top_of_head(d) + 0.10 * b))
        pen.end()

    def _cover(self) -> float:
        """Half the width of the cover: wide enough for the camshafts under it [m]."""
        wide = 0.94 * self._half()
        for bank in self.layout.banks:
            if len(overhead(self.layout, bank)) > 1:
                reach = max(abs(self._over_the_valve(seat)[0]) for seat in self._front_seats(bank))
                wide = max(wide, reach + self.d["cam-journal"] / 2 + 0.07 * self.d["bore"])
        return wide

    def _fire_deck(self, half: float, base: float) -> None:
        d, pen, b = self.d, self.pen, self.d["bore"]
        roof_, side = base + d["chamber-depth"], 0.49 * b
        inner: list[Point] = [(side, base), (0.44 * b, roof_), (-0.44 * b, roof_), (-side, base)]
        if across(self.layout):
            peak = roof_ + 0.10 * b
            inner = [(side, base), (0.46 * b, base + 0.35 * d["chamber-depth"]), (0.0, peak),
                     (-0.46 * b, base + 0.35 * d["chamber-depth"]), (-side, base)]
        high = roof_ + (0.20 if across(self.layout) else 0.10) * b
        outline = [(-half, base), (-half, high), (half, high), (half, base), *inner]
        for name in ("edge", "paper", "hatch-b"):
            pen.shape(name, outline)

    def _inboard(self, bank: Bank) -> float:
        """The side, +1 or -1, on which the intakes stand: towards the middle of the engine."""
        return -1.0 if bank.angle > 0 else 1.0

    def _front_seats(self, bank: Bank) -> list[Seat]:
        """The valves that show: the front one of those behind each other."""
        shown: dict[float, Seat] = {}
        for seat in seats(self.layout, self.d, self._inboard(bank)):
            if seat.across not in shown or seat.along < shown[seat.across].along:
                shown[seat.across] = seat
        return list(shown.values())

    def _tilt(self, seat: Seat) -> float:
        return 0.0 if seat.across == 0 else TILT if seat.across > 0 else -TILT

    def _seat_at(self, seat: Seat) -> Point:
        d = self.d
        if seat.across == 0:
            return 0.0, face(d) + d["chamber-depth"]
        return seat.across, face(d) + d["chamber-depth"] * 0.95

    def _valve(self, bank: Bank, seat: Seat) -> None:
        d, pen, label = self.d, self.pen, self.first(bank).label
        x, y = self._seat_at(seat)
        foot, free = d["valve-length"] * 0.52, d["valve-length"] * 0.48 - 0.07 * d["bore"]
        pen.begin(f'transform="{shift(x * pen.k, -y * pen.k)} rotate({self._tilt(seat):g})"')
        pen.begin(f'class="dr-spring"{self.sheet.rides.spring(label, seat.name, (0.0, foot), free)}')
        spring(pen, 0.0, (0.0, free), 0.115 * d["bore"])
        pen.end()
        pen.begin(f'class="dr-valve"{self.sheet.rides.valve(label, seat.name)}')
        upright_valve(pen, d, 0.0, 0.0, seat)
        pen.end()
        pen.end()

    def _over_the_valve(self, seat: Seat) -> Point:
        """The axis of a camshaft over a valve, in the bank's own directions."""
        x, y = self._seat_at(seat)
        reach = self.d["valve-length"] + base_radius(self.d) + 0.025 * self.d["bore"]
        rise = turned((0.0, reach), self._tilt(seat))
        return x + rise[0], y + rise[1]

    def _overhead(self, bank: Bank) -> None:
        own = overhead(self.layout, bank)
        label, front = self.first(bank).label, self._front_seats(bank)
        for shaft in own:
            kinds = {v[:2] for _, v in shaft.drives}
            served = [s for s in front if s.kind in kinds]
            if len(own) > 1 and served:
                at, lean = self._over_the_valve(served[0]), self._tilt(served[0])
            else:
                seat = served[0] if served else front[0]
                at, lean = (0.0, self._over_the_valve(seat)[1]), 0.0
            valve = served[0].name if served else shaft.drives[0][1]
            self._cam(at, 180.0 + lean, label, valve)
            place = turned(at, bank.angle)
            self.sheet.mark(f"cam.{shaft.name}", Spot(place, self.pen.disc(place, self.d["cam-journal"] / 2), r=7.0))

    # camshafts ---------------------------------------------------------------------------------------------------

    def cam_place(self, _shaft: Camshaft) -> Point:
        """Where a camshaft in the block stands, seen from the front; clear of bores and crank where it is assumed."""
        d, r = self.d, self.d["cam-journal"] / 2
        if len(self.layout.banks) == 1:
            angle, side = self.layout.banks[0].angle, max(d["cam-side"], self._half() + 0.22 * d["bore"])
            return turned((side, min(d["cam-height"], sweep(d) * 0.8 + 0.2 * d["bore"])), angle)
        height = max(d["cam-height"], sweep(d) + r + 0.05 * d["bore"])
        if not d.guess("cam-height") or self._lying():
            return 0.0, height
        between = (self._half() + r + 0.03 * d["bore"]) / sin(radians(min(abs(b.angle) for b in self.layout.banks)) or 1.0)
        if between < 0.85 * d["deck-height"]:
            return 0.0, max(height, between)
        return sweep(d) + r + 0.10 * d["bore"], 0.35 * sweep(d)  # no room between narrow banks: beside the crank

    def _cam(self, at: Point, towards: float, label: str, valve: str) -> None:
        """A lobe; `towards` is the direction [deg] in which it lifts."""
        d, pen, base = self.d, self.pen, base_radius(self.d)
        tip = base + lift_of_lobe(d)
        nose = 0.30 * base
        pen.begin(f'class="dr-cam"{self.sheet.rides.lobe(label, valve, at, towards)}')
        pen.circle("thin", (0.0, 0.0), d["cam-journal"] / 2)
        lean = asin((base - nose) / (tip - nose)) if tip - nose > base - nose else radians(85)
        flank, top = (base * cos(lean), base * sin(lean)), (nose * cos(lean), tip - nose + nose * sin(lean))
        path = (f"M{pen.at((-flank[0], flank[1]))}L{pen.at((-top[0], top[1]))}{pen.arc(nose, top)}"
                f"L{pen.at(flank)}{pen.arc(base, (-flank[0], flank[1]), large=True)}Z")
        pen.path("steel-deep", path)
        pen.circle("steel", (0.0, 0.0), base * 0.42)
        pen.end()

    def _block_cam(self, shaft: Camshaft) -> None:
        d, pen, at = self.d, self.pen, self.cam_place(shaft)
        bank = self.layout.bank(self.layout.cylinder(shaft.drives[0][0]).bank)
        label, valve = self.first(bank).label, shaft.drives[0][1]
        served = self._lifter_line(bank, at)
        pen.begin('class="dr-follower"')
        for line in served:
            pen.line("hidden", *line)
        pen.end()
        self._cam(at, bank.angle, label, valve)
        self.sheet.mark(f"cam.{shaft.name}", Spot(at, pen.disc(at, d["cam-journal"] / 2 + 0.03 * d["bore"]), r=7.4))

    def _lifter_line(self, bank: Bank, at: Point) -> list[list[Point]]:
        """Push rods from the camshaft to over the valves, as hidden lines."""
        d = self.d
        lines: list[list[Point]] = []
        for each in self.layout.banks if len(self.layout.banks) > 1 else (bank,):
            side = 1.0 if len(self.layout.banks) == 1 else self._inboard(each)
            top = turned((side * (self._half() - 0.12 * d["bore"]) , face(d) + d["chamber-depth"] + d["valve-length"]),
                         each.angle)
            rocker = turned((0.0, face(d) + d["chamber-depth"] + d["valve-length"]), each.angle)
            length = ((top[0] - at[0]) ** 2 + (top[1] - at[1]) ** 2) ** 0.5
            start = d["cam-journal"] / 2 / length
            lines.append([(at[0] + (top[0] - at[0]) * start, at[1] + (top[1] - at[1]) * start), top, rocker])
        return lines

    # crank, rods, pistons ------------------------------------------------------------------------------------------

    def _crank(self) -> None:
        d, pen = self.d, self.pen
        for number in {round(p.angle, 3): p.number for p in self.layout.pins[1:]}.values():
            pen.begin(f'class="dr-pin"{self.sheet.rides.orbit(number, d["stroke"] / 2)}')
            pen.circle("far", (0.0, 0.0), d["pin-journal"] / 2)
            pen.end()
        pin = self.first(self.layout.banks[0]).pin
        pen.circle("hidden", (0.0, 0.0), d["stroke"] / 2)
        pen.begin(f'class="dr-crank"{self.sheet.rides.spin(pin)}')
        self._web(angle_of_sector=HALF_SECTOR)
        pen.end()
        pen.line("centre", (-sweep(d) - 0.16 * d["bore"], 0.0), (sweep(d) + 0.16 * d["bore"], 0.0))
        pen.line("centre", (0.0, -sweep(d) * 1.02), (0.0, sweep(d) * 0.5))

    def _web(self, *, angle_of_sector: float) -> None:
        d, pen = self.d, self.pen
        r, guess = d["stroke"] / 2, "?" if d.guess("stroke") else ""
        hub, end, heavy = 0.54 * d["main-journal"], 0.60 * d["pin-journal"], d["counterweight"]
        right = turned((0.0, heavy), 180.0 - angle_of_sector)
        shoulder = turned((0.0, hub), 180.0 - angle_of_sector - 18.0)
        lean = asin(max(-1.0, min(1.0, (hub - end) / r)))
        a, b = (hub * cos(lean), hub * sin(lean)), (end * cos(lean), r + end * sin(lean))
        path = (f"M{pen.at((-b[0], b[1]))}{pen.arc(end, b)}L{pen.at(a)}{pen.arc(hub, shoulder)}"
                f"L{pen.at(right)}{pen.arc(heavy, (-right[0], right[1]))}L{pen.at((-shoulder[0], shoulder[1]))}"
                f"{pen.arc(hub, (-a[0], a[1]))}Z")
        pen.path("steel-deep" + guess, path)
        pen.circle("thin", (0.0, 0.0), d["main-journal"] / 2)
        pen.circle("steel", (0.0, r), d["pin-journal"] / 2)

    def _rod_and_piston(self, bank: Bank) -> None:
        d, pen, cylinder = self.d, self.pen, self.first(bank)
        label, side, rides = cylinder.label, self.sheet.turn.piston_side(), self.sheet.rides
        pen.begin(f'class="dr-bank" data-bank="{bank.name}" transform="rotate({bank.angle:g})"')
        pen.begin(f'class="dr-piston"{rides.piston(label)}')
        self._piston()
        pen.end()
        pen.begin(f'class="dr-rod"{rides.swing(label)}')
        self._rod()
        pen.end()
        pen.begin(f'class="dr-piston"{rides.piston(label)}')
        pen.circle("steel", (side, 0.0), d["piston-pin"] / 2)
        pen.circle("line", (side, 0.0), d["piston-pin"] * 0.28)
        pen.end()
        pen.end()
        self._moving_spots(bank, label, side)

    def _piston(self) -> None:
        d, pen, b = self.d, self.pen, self.d["bore"]
        crown, foot, half, skirt = d["compression-height"], d["compression-height"] - d["piston-height"], 0.494 * b, 0.045 * b
        guess = "?" if d.guess("bore", "compression-height") else ""
        under = crown - 0.10 * b
        belt = ring_places(self.sheet)[-1][1] - 0.05 * b
        thick = 0.12 * b
        outline = [(-half, foot), (-half, crown), (half, crown), (half, foot), (half - skirt, foot),
                   (half - skirt, belt - 0.10 * b), (half - thick, belt), (half - thick, under - 0.04 * b),
                   (half - thick - 0.05 * b, under), (-half + thick + 0.05 * b, under), (-half + thick, under - 0.04 * b),
                   (-half + thick, belt), (-half + skirt, belt - 0.10 * b), (-half + skirt, foot)]
        pen.shape("alloy-deep" + guess, outline)
        boss = d["piston-pin"] * 0.86
        pen.line("thin", (-half + skirt, foot + 0.06 * b), (half - skirt, foot + 0.06 * b))
        pen.circle("thin", (self.sheet.turn.piston_side(), 0.0), boss)
        for _, place in ring_places(self.sheet):
            for s in (1, -1):
                pen.rect("shell", (s * 0.499 * b, s * 0.445 * b), (place - 0.011 * b, place + 0.011 * b))

    def _rod(self) -> None:
        """A rod with its origin at the piston pin, hanging down."""
        d, pen, b, long = self.d, self.pen, self.d["bore"], self.d["rod-length"]
        eye, big = d["piston-pin"] * 0.80, big_end(d)
        neck, foot = 0.085 * b, 0.13 * b
        top, low = -(eye**2 - neck**2) ** 0.5, -long + (big**2 - foot**2) ** 0.5
        ear = big * 1.17
        path = (f"M{pen.at((neck, top))}{pen.arc(eye, (-neck, top), large=True, sweep=False)}"
                f"L{pen.at((-foot, low))}L{pen.at((-ear, -long + 0.10 * b))}L{pen.at((-ear, -long - 0.13 * b))}"
                f"L{pen.at((-big * 0.82, -long - big * 0.62))}"
                f"{pen.arc(big, (big * 0.82, -long - big * 0.62), sweep=False)}L{pen.at((ear, -long - 0.13 * b))}"
                f"L{pen.at((ear, -long + 0.10 * b))}L{pen.at((foot, low))}Z")
        guess = "?" if d.guess("rod-length") else ""
        pen.path("rod" + guess, path)
        pen.line("thin", (neck * 0.45, top - 0.06 * b), (foot * 0.5, low + 0.02 * b), (-foot * 0.5, low + 0.02 * b),
                 (-neck * 0.45, top - 0.06 * b), (neck * 0.45, top - 0.06 * b))
        pen.circle("shell", (0.0, -long), d["pin-journal"] / 2 + 0.030 * b)
        pen.circle("steel", (0.0, -long), d["pin-journal"] / 2)
        for s in (1, -1):
            inner = d["pin-journal"] / 2 + 0.030 * b
            pen.line("line", (s * inner, -long), (s * ear, -long))
            x = s * (inner + ear) / 2 * 1.02
            pen.rect("steel-deep", (x - 0.035 * b, x + 0.035 * b), (-long - 0.13 * b, -long - 0.20 * b))
            pen.line("hidden", (x, -long - 0.13 * b), (x, -long + 0.10 * b))

    # stations ------------------------------------------------------------------------------------------------------

    def _moving_spots(self, bank: Bank, label: str, side: float) -> None:
        """Marks that go with piston and rod; their places are told from the piston pin."""
        d, pen, b, rides = self.d, self.pen, self.d["bore"], self.sheet.rides
        ride = rides.piston(label, lean=bank.angle)
        crown, foot = d["compression-height"], d["compression-height"] - d["piston-height"]
        body = self._turned_box((b / 2, -b / 2), (foot, crown), bank.angle)
        wrist = turned((side, 0.0), bank.angle)
        self.sheet.mark(f"cyl.{label}.piston", Spot(turned((-0.33 * b, -0.10 * b), bank.angle), body, r=SMALL + 1, ride=ride))
        self.sheet.mark(f"cyl.{label}.pin", Spot(wrist, pen.disc(wrist, d["piston-pin"] * 0.6), r=SMALL + 1, ride=ride))
        long, half = d["rod-length"], big_end(d)
        corners: list[Point] = [(-half * 0.5, 0.0), (half * 0.5, 0.0), (half, -long - half), (-half, -long - half)]
        self.sheet.mark(f"rod.{label}", Spot((0.0, 0.0), pen.track(corners) + "Z", r=7.0, outline_ride=rides.swing(label, lean=bank.angle),
                                             ride=rides.between(label, 0.42, lean=bank.angle)))
        pin = self.first(bank).pin
        self.sheet.mark(f"pin.{pin}", Spot((0.0, 0.0), pen.disc((0.0, 0.0), d["pin-journal"] / 2), r=7.4,
                                           ride=rides.orbit(pin, d["stroke"] / 2)))
        step = min(0.20 * b, 15.0 / pen.k)
        for k, (name, place) in enumerate(ring_places(self.sheet)):
            spot = turned((0.5 * b - (0.5 + k) * step, place), bank.angle)
            ring = self._turned_box((b / 2, -b / 2), (place - 0.018 * b, place + 0.018 * b), bank.angle)
            self.sheet.mark(f"cyl.{label}.ring.{name}", Spot(spot, ring, r=SMALL, ride=ride))

    # stations that stand still -------------------------------------------------------------------------------------

    def _spots(self) -> None:
        d, pen, b, k = self.d, self.pen, self.d["bore"], self.pen.k
        self.sheet.mark("main.1", Spot((0.0, 0.0), pen.disc((0.0, 0.0), housing(d))))
        self.sheet.mark("crank", Spot((0.0, 0.0), pen.disc((0.0, 0.0), d["counterweight"]), outline_ride="", ride=self.sheet.rides.orbit(
            self.first(self.layout.banks[0]).pin, -d["counterweight"] * 0.78)))
        for bank in self.layout.banks:
            label, out = self.first(bank).label, -self._inboard(bank)
            for kind, height in (("deck", d["deck-height"] - 13.0 / k), ("gasket", face(d) + 7.0 / k),
                                 ("head", face(d) + 27.0 / k)):
                at = turned((out * (self._half() + 13.0 / k), height), bank.angle)
                self.sheet.mark(f"{kind}.{bank.name}", Spot(at, pen.disc(at, 11.0 / k), r=7.4))
            bore = self._turned_box((b / 2, -b / 2), (d["deck-height"] - d["bore-length"], d["deck-height"]), bank.angle)
            top = turned((0.0, top_of_head(d) + 0.04 * b + 16.0 / k), bank.angle)
            self.sheet.mark(f"cyl.{label}", Spot((top[0] - 8.0 / k, top[1]), bore, label, (top[0] + 6.0 / k, top[1]),
                                                 anchor="start"))
            at = turned((0.0, face(d) + d["chamber-depth"] * 0.45), bank.angle)
            chamber = self._turned_box((b * 0.46, -b * 0.46), (face(d), face(d) + d["chamber-depth"]), bank.angle)
            self.sheet.mark(f"chamber.{label}", Spot(at, chamber, r=SMALL))
            for seat in self._front_seats(bank):
                x, y = self._seat_at(seat)
                up = turned((0.0, d["valve-length"] * 0.34), self._tilt(seat))
                at = turned((x + up[0], y + up[1]), bank.angle)
                self.sheet.mark(f"valve.{label}.{seat.name}", Spot(at, pen.disc(at, 0.14 * b), r=SMALL))
        edge = (-sweep(d) - 0.22 * b - 12.0 / k, self._foot() if self._lying() else rail(d) - 4.0 / k)
        self.sheet.mark("block", Spot(edge, pen.disc(edge, 11.0 / k), "block", (edge[0] - 13.0 / k, edge[1]), anchor="end"))


