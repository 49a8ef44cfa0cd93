"""The decks seen square on, heads off: bores, valves, bolts, the camshaft between or beside the banks."""

import itertools
from math import cos, radians, sin

from tenths.engine.layout import Bank, Camshaft, Cylinder, Layout
from tenths.record.drawing.along import Along
from tenths.record.drawing.seats import seats
from tenths.record.drawing.shafts import drawn_out, in_the_valley, overhead, strip_height
from tenths.record.drawing.sheet import SMALL, Frame, Sheet, Spot
from tenths.record.drawing.sizes import Dimensions, in_block


class Faces:
    """The deck of each bank turned square to the paper, front to the left; banks at the right of the engine below."""

    up = 0.0

    def __init__(self, layout: Layout, d: Dimensions, places: Along, banks: tuple[Bank, ...]) -> None:
        self.layout, self.d, self.places = layout, d, places
        self.banks = tuple(sorted(banks, key=lambda b: b.angle))
        self.block_cams = [s for s in layout.camshafts if in_block(layout, s)]
        self.rows = self._rows()

    def half(self) -> float:
        """Half the width of a deck [m]."""
        return 0.5 * self.d["bore"] + 0.24 * self.d["bore"]

    def _rows(self) -> dict[str, float]:
        """How far below the crank's line on the paper each deck's middle stands [m]."""
        if len(self.banks) == 1:
            return {self.banks[0].name: 0.0}
        apart = 0.5 * self.d["cam-journal"] + 0.42 * self.d["bore"] if self.block_cams else 0.07 * self.d["bore"]
        rows: dict[str, float] = {}
        for bank in self.banks:
            true = self.d["deck-height"] * sin(radians(bank.angle))
            rows[bank.name] = true
        names = list(rows)
        for a, b in itertools.pairwise(names):
            lack = 2 * (self.half() + apart) - (rows[b] - rows[a])
            if lack > 0:
                rows = {n: y - lack / 2 if names.index(n) <= names.index(a) else y + lack / 2 for n, y in rows.items()}
        return rows

    def frame(self) -> Frame:
        """What it shows."""
        b, ys = self.d["bore"], list(self.rows.values())
        low, high = -max(ys) - self.half(), -min(ys) + self.half()
        for bank in self.banks:
            for k, _ in enumerate(self._beside(bank), 1):
                low, high = min(low, self._strip(bank, k) - self._step() / 2), max(high, self._strip(bank, k) + self._step() / 2)
        return Frame((self.places.front - 0.20 * b, self.places.rear + 0.05 * b), (low, high), (86.0, 16.0, 14.0, 14.0))

    def draw(self, sheet: Sheet) -> None:
        """Draw it."""
        self.sheet, self.pen = sheet, sheet.pen
        if len(self.banks) > 1:
            self._valley()
            for shaft in self.block_cams:
                in_the_valley(sheet, shaft, {c.label: 1.0 if self.rows[c.bank] < 0 else -1.0 for c in self.layout.cylinders})
        for bank in self.banks:
            self._deck(bank)
            for k, shaft in enumerate(self._beside(bank), 1):
                drawn_out(sheet, shaft, self._strip(bank, k))
        if len(self.banks) > 1:
            b = self.d["bore"]
            self.pen.line("centre", (self.places.front - 0.16 * b, 0.0), (self.places.rear + 0.05 * b, 0.0))

    def _beside(self, bank: Bank) -> list[Camshaft]:
        """The camshafts drawn out beside a deck: its own, and one in the block where there is no other bank."""
        own = overhead(self.layout, bank)
        return own + self.block_cams if len(self.layout.banks) == 1 else own

    def _step(self) -> float:
        return strip_height(self.d) + 0.08 * self.d["bore"]

    def _strip(self, bank: Bank, k: int) -> float:
        """Height of the k-th camshaft beside a deck, on its outer side."""
        outer = 1.0 if self.rows[bank.name] < 0 else -1.0
        return -self.rows[bank.name] + outer * (self.half() + (k - 0.5) * self._step())

    def _valley(self) -> None:
        rows, places, d = list(self.rows.values()), self.places, self.d
        self.pen.rect("cover", (places.front + 0.03 * d["bore"], places.rear - 0.03 * d["bore"]), (-max(rows), -min(rows)))
        for x0, x1 in places.mains.values():
            middle = (x0 + x1) / 2
            for y in (-1, 1):
                end = y * (max(map(abs, rows)) - self.half())
                self.pen.line("far", (middle, 0.0), (middle, end))

    def _deck(self, bank: Bank) -> None:
        pen, _d, b, places = self.pen, self.d, self.d["bore"], self.places
        y, guess = -self.rows[bank.name], "?" if self.d.guess("bore", "bore-spacing") else ""
        pen.begin(f'class="dr-bank" data-bank="{bank.name}"')
        pen.rect("rod" + guess, (places.front, places.rear), (y - self.half(), y + self.half()), 0.07 * b)
        own = self.layout.on_bank(bank.name)
        for x in self._bolts(own):
            for side in (1, -1):
                pen.circle("cover", (x, y + side * 0.615 * b), 0.045 * b)
        self._passages(own, y)
        pen.line("centre", (places.front - 0.08 * b, y), (places.rear + 0.08 * b, y))
        for cylinder in own:
            self._bore(bank, cylinder, y)
        pen.end()
        self._deck_spots(bank, y)

    def _bolts(self, own: tuple[Cylinder, ...]) -> list[float]:
        xs, b = [self.places.bores[c.label] for c in own], self.d["bore"]
        ends = [max(self.places.front + 0.09 * b, xs[0] - 0.56 * b), min(self.places.rear - 0.09 * b, xs[-1] + 0.56 * b)]
        return [ends[0], *((a + c) / 2 for a, c in itertools.pairwise(xs)), ends[1]]

    def _passages(self, own: tuple[Cylinder, ...], y: float) -> None:
        """Water passages round the bores."""
        b = self.d["bore"]
        for cylinder in own:
            x = self.places.bores[cylinder.label]
            for angle in (-22.0, 22.0, 158.0, 202.0):
                at = (x + 0.59 * b * sin(radians(angle)), y + 0.59 * b * cos(radians(angle)))
                self.pen.circle("thin", at, 0.022 * b)

    def _bore(self, bank: Bank, cylinder: Cylinder, y: float) -> None:
        pen, d, b, x = self.pen, self.d, self.d["bore"], self.places.bores[cylinder.label]
        guess = "?" if d.guess("bore") else ""
        pen.circle("thin", (x, y), 0.53 * b)
        pen.begin(f'class="dr-bore" data-cylinder="{cylinder.label}"')
        pen.circle("paper", (x, y), b / 2)
        pen.circle("alloy" + guess, (x, y), b / 2)
        pen.end()
        pen.circle("thin", (x, y), 0.485 * b)
        pen.line("centre", (x, y - 0.64 * b), (x, y + 0.64 * b))
        inboard = -1.0 if bank.angle > 0 else 1.0
        spots: list[tuple[float, float]] = []
        for seat in seats(self.layout, d, inboard):
            at = (x + seat.along, y - seat.across)
            pen.circle("hidden", at, seat.diameter / 2)
            pen.circle("thin", at, seat.diameter * 0.42)
            spots.append(at)
            self.sheet.mark(f"valve.{cylinder.label}.{seat.name}", Spot(
                at, pen.disc(at, seat.diameter / 2), seat.name if not self._small() else "",
                (at[0], at[1] - 15.0 / pen.k), r=SMALL + 1))
        self._bore_spots(cylinder, x, y)

    def _small(self) -> bool:
        """Whether a bore is too small on the paper for the names of valves."""
        return self.d["bore"] * self.pen.k < 90.0 or len(self.layout.valves) > 2

    def _bore_spots(self, cylinder: Cylinder, x: float, y: float) -> None:
        pen, b, label = self.pen, self.d["bore"], cylinder.label
        low, high = (-0.615 * b, 0.0) if len(self.layout.valves) > 2 else (-0.36 * b, 0.36 * b)
        self.sheet.mark(f"cyl.{label}", Spot((x - 9.0 / pen.k, y + low), pen.disc((x, y), b / 2), label,
                                             (x + 3.0 / pen.k, y + low), anchor="start"))
        top = (x, y + high)
        self.sheet.mark(f"chamber.{label}", Spot(top, pen.disc((x, y), 0.46 * b), r=SMALL + 1))

    def _deck_spots(self, bank: Bank, y: float) -> None:
        pen, k = self.pen, self.pen.k
        x = self.places.front - 0.08 * self.d["bore"] - 14.0 / k
        name = f" {bank.name}" if len(self.layout.banks) > 1 else ""
        for kind, step in (("deck", 24.0), ("gasket", 0.0), ("head", -24.0)):
            at = (x, y + step / k)
            self.sheet.mark(f"{kind}.{bank.name}", Spot(at, pen.disc(at, 11.0 / k), kind + name, (x - 13.0 / k, at[1]),
                                                        anchor="end"))
