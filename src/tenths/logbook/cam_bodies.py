"""The bodies of entries about the timing of camshafts: zero of the wheel, dial readings of lobes, the maker's card."""

from typing import ClassVar

import msgspec

from tenths.logbook.body import Body


class WheelZeroed(Body, frozen=True):
    """Top dead centre of a cylinder is found on the wheel; lobes read from here on hang on it. Numbers as typed.

    ``way`` is stop (a positive stop), heights (a dial on the piston at equal heights) or dwell (where the dial stands still).
    ``before`` and ``after`` are what the wheel reads on either side, in pairs. With ``moved`` wheel or pointer were then moved to
    read 0 at top dead centre. ``read_to`` is the least step that the wheel is read to, ``wheel_good_to`` the limit of error of its
    division and seat, ``height_good_to`` that of the stop or the dial.
    """

    TYPE: ClassVar[str] = "wheel.zeroed"
    cylinder: str
    before: tuple[str, ...]
    after: tuple[str, ...]
    way: str = "stop"
    moved: bool = True
    approach: str = "one side"
    read_to: str = ""
    wheel_good_to: str = ""
    height_good_to: str = ""
    instrument: str = ""
    note: str = ""


class WheelMoved(Body, frozen=True):
    """The wheel slipped, was knocked or came off: its zero is lost, and nothing is read by it before it is found again."""

    TYPE: ClassVar[str] = "wheel.moved"
    note: str = ""


class LobePoint(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What the wheel reads (``-30``, ``30 BTDC``) and what the dial says."""

    angle: str
    lift: str


class LobeRead(Body, frozen=True):
    """Readings of a dial over one lobe, a few or many; further ones are added to them.

    ``at`` is where the dial stands: follower, valve or retainer, with the rocker's ``ratio`` where it is not the follower.
    ``approach`` is ``one side`` when every place was come to in the direction of turning. ``lift_good_to`` is the limit of error of
    the dial, ``read_to`` the least step that the wheel is read to.
    """

    TYPE: ClassVar[str] = "lobe.read"
    station: str
    points: tuple[LobePoint, ...]
    at: str = "follower"
    ratio: str = ""
    approach: str = "one side"
    read_to: str = ""
    lift_good_to: str = ""
    instrument: str = ""
    note: str = ""


class CamCarded(Body, frozen=True):
    """A maker's card of the camshaft: lifts at the lobe, durations (``226 @ 0.050 in``), separation, advance or centre.

    ``events`` is ``22-62-66-18 @ 0.050 in``: intake opens and closes, exhaust opens and closes. ``base_circle`` is its
    diameter. A later card takes the place of an earlier one.
    """

    TYPE: ClassVar[str] = "cam.carded"
    intake_lift: str = ""
    exhaust_lift: str = ""
    intake_durations: tuple[str, ...] = ()
    exhaust_durations: tuple[str, ...] = ()
    separation: str = ""
    advance: str = ""
    intake_centre: str = ""
    exhaust_centre: str = ""
    events: str = ""
    base_circle: str = ""
    follower: str = ""
    source: str = "maker's card"


class TimingMoved(Body, frozen=True):
    """The timing set of a shaft was put to another position, earlier by ``advance`` of the crank (later below zero)."""

    TYPE: ClassVar[str] = "timing.moved"
    advance: str
    position: str = ""
    shaft: str = ""
    note: str = ""
