"""What there is to choose in the demo engines: gaskets to be had, pistons and rods each measured and weighed. All made up."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from random import Random

from tenths.logbook import bodies
from tenths.services import commands
from tenths.services.demo_hand import Hand
from tenths.services.shop import SHOP, Shop

IN_HOUSE = "in the house"
GASKETS = (  # number, thickness, bore, where
    ("G-036", "0.0360", "3.900", "Fenwick Gasket Works"),
    ("G-039", "0.0390", "3.900", IN_HOUSE),
    ("G-045", "0.0450", "3.910", "Fenwick Gasket Works"),
)
MARIGOLD_LIMITS = (
    bodies.LimitStated(station="cyl.*", characteristic="compression-ratio", lower="9.1", upper="9.7", target="9.4", source="sheet 5"),
    bodies.LimitStated(station="cyl.*", characteristic="squish-clearance", lower="0.036", upper="0.048", target="0.040", source="sheet 5"),
)
KESTREL_LIMITS = (
    bodies.LimitStated(station="cyl.*", characteristic="compression-ratio", lower="10.6", upper="11.3", target="11.0", source="sheet 2"),
)


INSTRUMENTS = (
    bodies.InstrumentListed(instrument="mic-25-50", kind="outside-micrometer", name="Micrometer 25-50 mm", limit_of_error="4 µm",
                            due="2027-01-31", range_from="25 mm", range_to="50 mm"),
)


def lay_choices(demo: Shop, laid: Sequence[str]) -> None:
    """Adds what there is to choose to the demo engines that were laid just now."""
    chance = Random(8)  # noqa: S311 - invented scatter, not a secret
    shop = replace(demo, random=chance.randbytes)
    known = shop.build(SHOP).instruments
    for card in INSTRUMENTS:
        if card.instrument not in known:
            commands.list_instrument(shop, card)
    for engine in laid:
        layout = shop.build(engine).layout
        if layout is not None:
            LAY[engine](Hand(shop, engine, layout, chance, inch=engine == "marigold"))


def _gaskets(hand: Hand) -> None:
    """Three thicknesses of head gasket, and a set of pistons with a deeper dish, that could be had."""
    for number, thickness, bore, where in GASKETS:
        here = where == IN_HOUSE
        hand.part(bodies.PartListed(
            part=f"gasket-{number.lower()}", kind="gasket", words=f"steel gasket, {thickness} in tightened", number=number,
            sizes={"gasket-thickness": thickness, "gasket-bore": bore}, where=where if here else "on order",
            supplier="" if here else where))
    hand.part(bodies.PartListed(
        part="pistons-d10", kind="piston", words="set of six, dish 10.5 cc", number="D10", sizes={"dish-volume": "10.5 cc"},
        where="on order", supplier="Mill Lane Pistons"))
    commands.state(hand.shop, hand.engine, *MARIGOLD_LIMITS)


def _apart(hand: Hand) -> None:
    """Crowns each measured: they differ as castings do."""
    for label in hand.layout.labels:
        height, dome = (hand.chance.gauss(0.0, spread) for spread in (0.012, 0.12))
        hand.read(f"cyl.{label}.piston", "compression-height", 34.88 + height, "mic-25-50", scatter=0.001)
        hand.read(f"cyl.{label}.piston", "dome-volume", 4.2 + dome, "burette", scatter=0.03, digits=2)
    commands.state(hand.shop, hand.engine, *KESTREL_LIMITS)


LAY: dict[str, Callable[[Hand], None]] = {"marigold": _gaskets, "kestrel": _apart}
