"""What the second demo engine has for the pages of the running engine: the weighing sheet and the crank. All made up."""

from tenths.logbook import bodies
from tenths.services.demo_hand import Hand

KESTREL_RUNNING: tuple[tuple[str, str, str, str, str], ...] = (
    ("cyl.*.piston", "ring-set-weight", "38.4 g", "1.0 g", "2"),
    ("cyl.*.pin", "locks-weight", "1.6 g", "0.2 g", "2"),
    ("rod.*", "shell-pair-weight", "44.0 g", "1.0 g", "3"),
    ("rod.*", "cap-weight", "168 g", "3 g", "3"),
    ("pin.*", "oil-weight", "4.0 g", "2.0 g", "3"),
    ("crank", "weight", "21400 g", "50 g", "3"),
    ("crank", "balance-grade", "16", "", "3"),
    ("crank", "correction-radius", "70.0 mm", "", "3"),
    ("engine", "web-thickness", "21.5 mm", "", "3"),
    ("engine", "web-width", "96.0 mm", "", "3"),
    ("pin.*", "throw-inertia", "95 kg cm2", "5 kg cm2", "3"),
    ("engine", "front-inertia", "48 kg cm2", "", "3"),
    ("engine", "flywheel-inertia", "980 kg cm2", "", "3"),
    ("engine", "damper-ring", "105 kg cm2", "", "3"),
    ("engine", "damper-stiffness", "62000 N m/rad", "", "3"),
    ("engine", "damper-loss", "0.12", "", "3"),
    ("cyl.*.pin", "inside-diameter", "13.0 mm", "0.1 mm", "2"),
    ("cyl.*.pin", "diameter", "22.000 mm", "0.003", "2"),
    ("cyl.*.piston", "boss-gap", "27.0 mm", "", "2"),
    ("cyl.*.piston", "boss-length", "17.0 mm", "", "2"),
    ("rod.*", "small-end-width", "24.6 mm", "", "2"),
)


def weigh(hand: Hand) -> None:
    """Piston pins on the scale, and what the balancing machine showed."""
    for label in hand.layout.labels:
        hand.read(f"cyl.{label}.pin", "weight", 108.0, "scale", scatter=0.2, digits=1)
    rows = (("unbalance-front", "145 g mm"), ("unbalance-front-angle", "62 deg"), ("unbalance-rear", "388 g mm"),
            ("unbalance-rear-angle", "217 deg"))
    hand.shop.append(hand.engine, *(bodies.ReadingTaken(station="crank", feature=f, text=text) for f, text in rows))
