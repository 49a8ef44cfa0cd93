"""What the second demo engine's mock-up said of valves over pistons, springs and rockers, on its first cylinder. All made up."""

from dataclasses import replace
from random import Random

from tenths.logbook import bodies
from tenths.services.demo_hand import Hand

KESTREL_GEAR: tuple[tuple[str, str, str, str, str], ...] = (
    ("valve.*.in", "valve-lean", "12 deg", "0.2 deg", "of the heads"), ("valve.*.ex", "valve-lean", "9 deg", "0.2 deg", "of the heads"),
    ("engine", "rod-growth", "0 mm", "", "steel rods"),
)
SHIMS = (("0.25", 8), ("0.40", 12), ("0.80", 6))
# feature, instrument, intake and exhaust [mm], decimals
MOCK_UP: tuple[tuple[str, str, tuple[float, float], int], ...] = (
    ("valve-drop", "deck-dial-mm", (1.15, 1.02), 3), ("pocket-depth", "deck-dial-mm", (1.90, 2.00), 3),
    ("pocket-diameter", "mic-inside-mm", (56.40, 45.80), 2), ("clay-thickness", "mic-0-25", (2.58, 2.97), 2),
)
HEIGHTS = {"1.in": 47.42, "1.ex": 47.61, "3.in": 47.80, "3.ex": 47.36}


def mock_up_valves(hand: Hand) -> None:
    """Clay, drops and pockets of the first cylinder, some installed heights read between seat and retainer, shims in the drawer."""
    hand = replace(hand, chance=Random(29))  # noqa: S311 - made-up readings; its own scatter, so that what is read after it stays as it is
    for feature, by, sizes, digits in MOCK_UP:
        for valve, size in zip(("in", "ex"), sizes, strict=True):
            hand.read(f"valve.1.{valve}", feature, size, by, scatter=0.01, digits=digits)
    for valve, height in HEIGHTS.items():
        hand.read(f"valve.{valve}", "installed-height", height, "mic-inside-mm", scatter=0.02, digits=2)
    hand.part(*(bodies.StockCounted(kind="shim", size=f"{size} mm", change=f"{size} mm", sets=number) for size, number in SHIMS))
