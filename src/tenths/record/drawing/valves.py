"""Heads as the long section shows them: chambers, valves, springs, and buckets under overhead camshafts."""

from tenths.engine.layout import Bank
from tenths.record.drawing.pen import Pen
from tenths.record.drawing.seats import Seat, across, face, seats, top_of_head
from tenths.record.drawing.sheet import SMALL, Sheet, Spot, spring
from tenths.record.drawing.sizes import Dimensions, in_block


def head_seen_along(sheet: Sheet, bank: Bank) -> None:
    """The head of a bank as the long section shows it."""
    d, places, layout, pen = sheet.d, sheet.places, sheet.layout, sheet.pen
    base, height = face(d), face(d) + d["head-height"]
    ends = (places.front + 0.02 * d["bore"], places.rear - 0.02 * d["bore"])
    if layout.camshafts:
        pen.rect("cover", (ends[0] + 0.03 * d["bore"], ends[1] - 0.03 * d["bore"]),
                 (height, top_of_head(d)), 0.10 * d["bore"])
    pen.rect("cover", ends, (base, height))
    pen.rect("shell", ends, (d["deck-height"], base))
    _fire_deck(sheet, pen, bank, ends)
    for cylinder in layout.on_bank(bank.name):
        for seat in seats(layout, d, 1.0):
            if seat.across <= 0.0 or not across(layout):
                _valve_along(sheet, pen, cylinder.label, seat)
    pen.rect("outline", ends, (base, height))


def _fire_deck(sheet: Sheet, pen: Pen, bank: Bank, ends: tuple[float, float]) -> None:
    """The head's lower wall, cut, with a chamber over each bore."""
    d = sheet.d
    base, roof = face(d), face(d) + d["chamber-depth"]
    outline = [(ends[0], base)]
    for cylinder in sheet.layout.on_bank(bank.name):
        x, half = sheet.places.bores[cylinder.label], d["bore"] / 2
        outline += [(x - 0.49 * d["bore"], base), (x - half * 0.90, roof), (x + half * 0.90, roof),
                    (x + 0.49 * d["bore"], base)]
    outline += [(ends[1], base), (ends[1], roof + 0.10 * d["bore"]), (ends[0], roof + 0.10 * d["bore"])]
    pen.shape("edge", outline)
    pen.shape("paper", outline)
    pen.shape("hatch-b", outline)


def _valve_along(sheet: Sheet, pen: Pen, label: str, seat: Seat) -> None:
    d, x = sheet.d, sheet.places.bores[label] + seat.along
    top = face(d) + d["head-height"]
    tip = face(d) + d["chamber-depth"] + d["valve-length"]
    free = tip - top - 0.07 * d["bore"]
    pen.begin(f'class="dr-spring"{sheet.rides.spring(label, seat.name, (x, top), free)}')
    spring(pen, 0.0, (0.0, free), 0.11 * d["bore"])
    pen.end()
    pen.begin(f'class="dr-valve"{sheet.rides.valve(label, seat.name)}')
    upright_valve(pen, d, x, face(d) + d["chamber-depth"], seat)
    if any(not in_block(sheet.layout, s) for s in sheet.layout.camshafts):
        bucket = (tip + 0.03 * d["bore"], tip - 0.11 * d["bore"])
        pen.rect("alloy", (x - 0.15 * d["bore"], x + 0.15 * d["bore"]), bucket, 0.015 * d["bore"])
    pen.end()


def upright_valve(pen: Pen, d: Dimensions, x: float, y: float, seat: Seat) -> None:
    """A valve with its face at height y, stem upwards."""
    r, stem, b = seat.diameter / 2, d["valve-stem"] / 2, d["bore"]
    tip = y + d["valve-length"]
    half = [(r, y), (r, y + 0.022 * b), (r * 0.55, y + 0.07 * b), (stem * 1.2, y + 0.17 * b), (stem, y + 0.26 * b), (stem, tip)]
    pen.shape("steel", [(x + a, h) for a, h in half] + [(x - a, h) for a, h in reversed(half)])
    pen.rect("steel-deep", (x - 0.125 * b, x + 0.125 * b), (tip - 0.07 * b, tip - 0.035 * b))


def valve_spots_along(sheet: Sheet, bank: Bank, way: float) -> None:
    """Marks of valves and chambers on the long section."""
    d, pen, layout = sheet.d, sheet.pen, sheet.layout
    roof, tip = face(d) + d["chamber-depth"], face(d) + d["chamber-depth"] + d["valve-length"]
    for cylinder in layout.on_bank(bank.name):
        x = sheet.places.bores[cylinder.label]
        chamber = (x, way * (face(d) + d["chamber-depth"] * 0.5))
        half = 0.45 * d["bore"]
        sheet.mark(f"chamber.{cylinder.label}", Spot(
            chamber, pen.box((x - half, x + half), (way * face(d), way * roof)), r=SMALL + 1))
        for seat in seats(layout, d, 1.0):
            if seat.across <= 0.0 or not across(layout):
                at = (x + seat.along, way * (face(d) + d["head-height"] * 0.72))
                sheet.mark(f"valve.{cylinder.label}.{seat.name}", Spot(
                    at, pen.box((at[0] - 0.06 * d["bore"], at[0] + 0.06 * d["bore"]), (way * roof, way * tip)),
                    r=SMALL + 1))
