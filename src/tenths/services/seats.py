"""What the halves of a place must be, as the log says it: grooved or plain, flanged, or staying as they are."""

from collections.abc import Sequence
from dataclasses import replace

from tenths.choose.shells import Seat, Side
from tenths.engine.stations import pattern_matches
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.logbook.entry import Entry
from tenths.services.questions import Answer
from tenths.services.shop import Shop

SIDES: tuple[Side, Side] = ("upper", "lower")
GROOVE = {"grooved": True, "plain": False, "either": None}
Seats = tuple[tuple[Seat, bool], tuple[Seat, bool]]  # upper and lower: what it must be, and whether what is in stays


def seats_of(build: Build, kind: str, addresses: Sequence[str]) -> dict[str, Seats]:
    """What the upper and the lower half of each place must be; what was said last counts."""
    said = [body for body in build.seats if body.station.split(".")[0] == kind]
    return {station: (_seat(said, station, "upper"), _seat(said, station, "lower")) for station in addresses}


def _seat(said: Sequence[bodies.SeatStated], station: str, side: Side) -> tuple[Seat, bool]:
    seat, kept = Seat(), False
    for body in said:
        if body.side not in {"", side} or not pattern_matches(body.station, station):
            continue
        if body.groove:
            seat = replace(seat, grooved=GROOVE[body.groove])
        if body.flanged is not None:
            seat = replace(seat, thrust=body.flanged)
        if body.kept is not None:
            kept = body.kept
    return seat, kept


def state_seat(shop: Shop, engine: str, body: bodies.SeatStated) -> Entry:
    """Says what the halves of a place must be, or that they stay."""
    return shop.append(engine, body)[0]


def seat_rows(shop: Shop, engine: str) -> list[Answer]:
    """What was said of the places of an engine, a row for each side of which anything was."""
    from tenths.engine.stations import stations  # noqa: PLC0415 - only this asks

    build = shop.build(engine)
    rows: list[Answer] = []
    for kind in ("main", "rod"):
        addresses = [s.address for s in stations(build.layout) if s.kind == kind] if build.layout else []
        for station, seats in seats_of(build, kind, addresses).items():
            for side, (seat, kept) in zip(SIDES, seats, strict=True):
                if seat != Seat() or kept:
                    rows.append({"station": station, "side": side, "flanged": seat.thrust, "kept": kept,
                                 "groove": {True: "grooved", False: "plain", None: "either"}[seat.grooved]})
    return rows
