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

KESTREL_JOINTS: tuple[bodies.JointStated, ...] = (
    bodies.JointStated(
        joint="main-caps", words="main cap bolts", stations="main.*", pattern="2", together=True, thread="M12x1.75", strength="10.9",
        length="95 mm", washer="3 mm", clamped="52 mm", thread_depth="48 mm", counterbore="6 mm", chamfer="2 mm", bearing="20 mm",
        hole="13 mm", into="aluminium", torque="105 N m", lubricant="oil", wrench="", source="sheet 6"),
    bodies.JointStated(
        joint="rod-bolts", words="rod bolts", stations="rod.*", pattern="2", thread="M10x1.25", yields="1350 MPa", tensile="1500 MPa",
        length="46 mm", clamped="26 mm", thread_depth="24 mm", counterbore="1 mm", chamfer="1.5 mm", bearing="14 mm", hole="10.3 mm",
        into="steel", segments=("20 mm x 8.2 mm", "6 mm x 10 mm", "6 mm x 8.8 mm"), method="stretch", stretch="0.150 mm",
        lubricant="paste", uses=5, growth="0.025 mm", source="sheet 6"),
    bodies.JointStated(
        joint="head-bolts", words="cylinder head bolts", stations="head.*", pattern="2 rows of 5", thread="M11x1.5", strength="10.9",
        length="118 mm", washer="3 mm", clamped="80 mm", thread_depth="60 mm", counterbore="10 mm", chamfer="2 mm", bearing="18.5 mm",
        hole="11.8 mm", into="aluminium", torque="85 N m", steps=("35 N m", "65 N m", "85 N m"), lubricant="moly", given_for="oil",
        source="sheet 7"),
    bodies.JointStated(
        joint="flywheel", words="flywheel bolts", stations="crank", pattern="circle of 8", thread="M10x1.25", strength="12.9",
        bearing="15.5 mm", hole="10.5 mm", torque="75 N m", lubricant="thread lock", source="sheet 6"),
)


def weigh(hand: Hand) -> None:
    """Piston pins on the scale, and what the balancing machine showed."""
    for label in hand.layout.labels:
        hand.read(f"cyl.{label}.pin", "weight", 108.0, "scale", scatter=0.2, digits=1)
    rows = (("unbalance-front", "145 g mm"), ("unbalance-front-angle", "62 deg"), ("unbalance-rear", "388 g mm"),
            ("unbalance-rear-angle", "217 deg"))
    hand.shop.append(hand.engine, *(bodies.ReadingTaken(station="crank", feature=f, text=text) for f, text in rows))


def tighten(hand: Hand) -> None:
    """Joints of the sheet; the rod bolts of the first two rods are in, one of them past its growth."""
    hand.shop.append(hand.engine, *KESTREL_JOINTS)
    rows: list[bodies.Body] = []
    for rod, first, tight in (("rod.1", 46.012, 46.162), ("rod.2", 46.008, 46.157)):
        for number in (1, 2):
            free = f"{first + 0.003 * number:.3f} mm"
            rows.append(bodies.FastenerTicked(joint="rod-bolts", station=rod, number=number, what="measured", free_length=free))
            rows.append(bodies.FastenerTicked(joint="rod-bolts", station=rod, number=number, what="tightened",
                                              tight_length=f"{tight + 0.003 * number:.3f} mm", value="0.150 mm"))
    rows.append(bodies.FastenerTicked(joint="rod-bolts", station="rod.1", number=1, what="checked"))
    rows.append(bodies.FastenerTicked(joint="rod-bolts", station="rod.2", number=2, what="loosened"))
    rows.append(bodies.FastenerTicked(joint="rod-bolts", station="rod.2", number=2, what="measured", free_length="46.041 mm"))
    rows += [bodies.FastenerTicked(joint="main-caps", station=f"main.{n}", number=k, what="tightened", round=1, value="52.5 N m")
             for n in (3, 2, 4) for k in (1, 2)]
    hand.shop.append(hand.engine, *rows)


KESTREL_OUTLINES: tuple[bodies.OutlineDrawn, ...] = (
    bodies.OutlineDrawn(outline="rod-bolt", words="head of the rod bolt", moves_with="rod", cylinder="1",
                        points=("-21 / 34", "-30 / 34", "-30 / 22"), radius="1 mm", source="sketch"),
    bodies.OutlineDrawn(outline="other-bolt", words="head of the other rod bolt", moves_with="rod", cylinder="1",
                        points=("-21 / -34", "-30 / -34", "-30 / -22"), radius="1 mm", source="sketch"),
    bodies.OutlineDrawn(outline="counterweight", words="counterweight", moves_with="crank", cylinder="1",
                        points=("0 / -46", "-30 / -66", "-58 / -43", "-72 / 0", "-58 / 43", "-30 / 66", "0 / 46"),
                        clears=("skirt", "bore-end", "camshaft", "pan-rail"), source="sheet 3"),
    bodies.OutlineDrawn(outline="skirt", words="lower edge of the skirt", moves_with="piston", cylinder="1",
                        points=("-22 / -46", "-22 / 46"), radius="0.5 mm", clears=("counterweight",), source="sketch"),
    bodies.OutlineDrawn(outline="bore-end", words="lower end of the cylinder", moves_with="block", cylinder="1",
                        points=("118 / -49.5", "92 / -49.5"), least="1.3 mm", source="sheet 1"),
    bodies.OutlineDrawn(outline="camshaft", words="camshaft with its highest lobe", moves_with="block", cylinder="1",
                        points=("94 / -92",), radius="21 mm", source="sheet 5"),
    bodies.OutlineDrawn(outline="pan-rail", words="pan rail", moves_with="block", cylinder="1",
                        points=("-59 / 69", "-38 / 93"), radius="1 mm", least="1.3 mm", source="sketch"),
)


def outline(hand: Hand) -> None:
    """Outlines about cylinder 1, and what was asked of the rods' maker last."""
    hand.shop.append(hand.engine, *KESTREL_OUTLINES)
    hand.shop.append(hand.engine, *(bodies.SizeStated(station="rod.*", feature=f, text=text, source="maker's letter")
                                    for f, text in (("big-end-wall", "11.0 mm"), ("rod-inertia", "29.0 kg cm2"))))
