"""Two invented engines, half way through their first fitting: what a new shop finds in its logbook.

Every size, name and reading here is made up. The readings scatter the way a practised hand's do; the same log comes
out each time, since the clock and the chance are fixed.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import count
from random import Random

from tenths.engine.describe import layout_from_text
from tenths.logbook import bodies
from tenths.services import commands
from tenths.services.demo_calibration import lay_calibration, note_warm_block
from tenths.services.demo_cam import degree
from tenths.services.demo_choices import lay_choices
from tenths.services.demo_form import lay_form
from tenths.services.demo_gear import KESTREL_GEAR, mock_up_valves
from tenths.services.demo_hand import Hand
from tenths.services.demo_head import flow_ports
from tenths.services.demo_running import KESTREL_RUNNING, outline, tighten, weigh
from tenths.services.demo_sheets import (
    HOUSE_RULES,
    INSTRUMENTS,
    KESTREL_LIMITS,
    KESTREL_SIZES,
    MARIGOLD_LIMITS,
    MARIGOLD_SIZES,
    SizeRow,
)
from tenths.services.demo_studies import lay_studies
from tenths.services.demo_train import KESTREL_TRAIN, weigh_train
from tenths.services.demo_work import lay_house, lay_work
from tenths.services.shop import SHOP, Shop

BEGIN = datetime(2026, 3, 2, 8, 15, tzinfo=UTC)
ROUND = ("A front", "B front", "C front", "A rear", "B rear", "C rear")
JOURNAL = ("1 front", "2 front", "1 rear", "2 rear")
CYLINDER = ("top thrust", "top pin", "gauge thrust", "gauge pin", "bottom thrust", "bottom pin")


def lay_demo(shop: Shop) -> list[str]:
    """Lays the two demo engines in a shop that lacks them; returns their short names."""
    ticks, chance = count(), Random(20260302)  # noqa: S311 - invented scatter, not a secret
    demo = replace(shop, person="Ines Vale", device="bench tablet",
                   clock=lambda: BEGIN + timedelta(minutes=3 * next(ticks)), random=chance.randbytes)
    if not shop.build(SHOP).instruments:
        for card in INSTRUMENTS:
            commands.list_instrument(demo, card)
        commands.adopt_house_rules(demo, HOUSE_RULES)
    laid = [name for name in ("marigold", "kestrel") if name not in shop.engines()]
    for name, lay in (("marigold", _marigold), ("kestrel", _kestrel)):
        if name in laid:
            lay(demo, chance)
            if name == "marigold":
                lay_form(demo, BEGIN + timedelta(days=1))
    lay_studies(demo)
    lay_calibration(demo)
    lay_choices(demo, laid)
    if laid:
        lay_house(demo)
    for name in laid:
        lay_work(demo, name)
    if "marigold" in laid:
        degree(demo, "marigold")
    return ["marigold", "kestrel"]


def _sheet(shop: Shop, engine: str, sizes: Sequence[SizeRow], limits: Sequence[bodies.LimitStated]) -> None:
    commands.state(shop, engine, *(bodies.SizeStated(station=s, feature=f, text=text, tolerance=tolerance,
                                                     source=f"sheet {page}")
                                   for s, f, text, tolerance, page in sizes))
    if limits:
        commands.state(shop, engine, *limits)


def _marigold(shop: Shop, chance: Random) -> None:
    layout = "inline-6, cams block 7"
    engine = commands.open_engine(
        shop, name="Marigold", engine="marigold", layout=layout, units="inch", use="marine",
        customer="Orrin Tidewell, Saltmarsh Quay", purpose="Inshore launch: pull all day at 2,800, idle for hours",
        fuel="Pump petrol, 98 octane", notes="Second rebuild; crank ground ten under before it came here.")
    hand = Hand(shop, engine, layout_from_text(layout), chance, inch=True)
    _sheet(shop, engine, MARIGOLD_SIZES, MARIGOLD_LIMITS)
    _marigold_parts(hand)
    _marigold_bottom(hand)
    _marigold_cylinders(hand)


def _marigold_parts(hand: Hand) -> None:
    hand.part(
        bodies.PartListed(part="block-m", kind="block", words="cast iron block, sleeved once", serial="M 4471"),
        bodies.PartListed(part="crank-m", kind="crank", words="forged crank, journals 0.010 under", serial="C 118"),
        bodies.PartListed(part="thrust-m1", kind="thrust", words="upper thrust half, standard"),
        bodies.PartListed(part="thrust-m2", kind="thrust", words="lower thrust half, 0.005 over", where="on order",
                          supplier="Lowmoor Bearing Room", promised="2026-03-20"),
        bodies.PartFitted(slot="block", part="block-m", all_along=True),
        bodies.PartFitted(slot="crank", part="crank-m", all_along=True),
        bodies.PartFitted(slot="thrust.upper", part="thrust-m1", all_along=True))
    stock = [bodies.StockCounted(kind=kind, size=size, change=change, sets=sets)
             for kind in ("main-shell", "rod-shell")
             for size, change, sets in (("10", "0 in", 1), ("11", "-0.001 in", 1), ("10X", "+0.001 in", 1))]
    hand.part(*stock)
    for slot, kind in [(f"main.{n}", "main-shell") for n in range(1, 8)] + [(f"rod.{n}", "rod-shell") for n in range(1, 7)]:
        halves = [(f"{slot}.shell.{end}", f"{slot.replace('.', '-')}-{end}") for end in ("upper", "lower")]
        hand.part(*(bodies.PartListed(part=name, kind=kind, words=f"{end} half", size="10")
                    for (_, name), end in zip(halves, ("upper", "lower"), strict=True)),
                  *(bodies.PartFitted(slot=where, part=name) for where, name in halves))


def _marigold_bottom(hand: Hand) -> None:
    journals = (2.4890, 2.4889, 2.4890, 2.4887, 2.4890, 2.4889, 2.4890)
    hand.read("crank", "run-out", 0.0006, "test-dial")
    for number, size in enumerate(journals, 1):
        hand.read(f"main.{number}", "journal", size, "mic-2-3", places=JOURNAL)
    wrong = hand.read("main.2", "journal", 2.4989, "mic-2-3", places=("1 front",))[-1]
    commands.strike(hand.shop, hand.engine, wrong.id, "digits swapped, written 2.4989 for 2.4889; read again above")
    hand.set_gauge("bore-gauge-s", "mic-2-3", "2.6800")
    for number in range(1, 8):
        hand.read(f"main.{number}", "housing-bore", 2.68095, "bore-gauge-s", places=ROUND, set_to=2.68)
        for end in ("upper", "lower"):
            hand.read(f"main.{number}.shell.{end}", "shell-wall", 0.0948, "ball-mic", places=("crown",), scatter=0.00003)
    hand.set_gauge("bore-gauge-s", "mic-2-3", "2.4910")
    for number in range(1, 8):
        size = 2.49145 if number != 4 else 2.49148
        hand.read(f"main.{number}", "installed-bore", size, "bore-gauge-s", places=("B front", "B rear"), set_to=2.491)
    hand.read("thrust", "end-play-upper", 0.0060, "indicator", scatter=0.0002)
    pins = (2.1140, 2.1141, 2.1140, 2.1140, 2.1137, 2.1140)
    for number, size in enumerate(pins, 1):
        hand.read(f"pin.{number}", "journal", size, "mic-2-3", places=JOURNAL)
        hand.read(f"pin.{number}", "side-clearance", 0.011, "feeler", scatter=0.0006, digits=3)
    hand.set_gauge("bore-gauge-s", "mic-2-3", "2.2380")
    for number in range(1, 7):
        size = 2.2382 if number != 5 else 2.23845
        hand.read(f"rod.{number}", "housing-bore", size, "bore-gauge-s", places=ROUND, set_to=2.238)
        for end in ("upper", "lower"):
            hand.read(f"rod.{number}.shell.{end}", "shell-wall", 0.0609, "ball-mic", places=("crown",), scatter=0.00003)
    hand.set_gauge("bore-gauge-s", "mic-2-3", "2.1160")
    for number in range(1, 6):  # rod 6 is not yet measured
        size = 2.11635 if number != 5 else 2.1166
        hand.read(f"rod.{number}", "installed-bore", size, "bore-gauge-s", places=("B front", "B rear"), set_to=2.116)
    for number in range(1, 8):
        hand.read(f"cam.1.bearing.{number}", "bearing-bore", 2.0031, "mic-inside", places=("A", "B"), scatter=0.0001)
        hand.read(f"cam.1.bearing.{number}", "cam-journal", 2.0002, "mic-2-3", places=("1", "2"))
    hand.read("cam.1", "end-play", 0.0050, "indicator", scatter=0.0004)


def _marigold_cylinders(hand: Hand) -> None:
    hand.set_gauge("bore-gauge-l", "mic-3-4", "3.8200")
    for label in hand.layout.labels:
        bias = {"bottom": -0.0002}
        if label == "3":
            bias |= {"thrust": 0.0013}  # the hole that lies beside the old leak
        hand.read(f"cyl.{label}", "bore", 3.8203, "bore-gauge-l", places=CYLINDER, bias=bias, set_to=3.82)
        hand.read(f"cyl.{label}.piston", "skirt", 3.8176, "mic-3-4")
    hand.set_gauge("bore-gauge-p", "mic-0-1", "0.9280")
    for label in hand.layout.labels:
        hand.read(f"cyl.{label}.pin", "diameter", 0.9272, "mic-0-1", places=("front", "middle", "rear"))
        hand.read(f"rod.{label}", "bush-bore", 0.9282, "bore-gauge-p", places=("A front", "B front"), set_to=0.928)
        hand.read(f"cyl.{label}.piston", "pin-bore", 0.92795, "bore-gauge-p", places=("A front", "B rear"), set_to=0.928)
    for k, label in enumerate(hand.layout.labels):
        # the deck falls away towards the back
        deck = 0.0010 + 0.0009 * k
        hand.read(f"cyl.{label}", "deck-clearance", deck, "deck-dial", places=("inboard", "outboard"), scatter=0.0002)
        hand.read(f"chamber.{label}", "chamber-volume", 66.0, "burette", scatter=0.15, digits=1)
    for label in ("1", "2", "3", "4"):
        top = {"1": 0.020, "2": 0.014, "3": 0.019, "4": 0.020}[label]
        hand.read(f"cyl.{label}.ring.top", "end-gap", top, "gap-feeler", scatter=0.0001, digits=3)
        hand.read(f"cyl.{label}.ring.second", "end-gap", 0.0222, "gap-feeler", scatter=0.0004, digits=3)
        hand.read(f"cyl.{label}.ring.oil", "end-gap", 0.024, "gap-feeler", scatter=0.001, digits=3)
        hand.read(f"cyl.{label}.ring.top", "side-clearance", 0.0021, "feeler", scatter=0.0001, digits=4)
    commands.write_note(hand.shop, hand.engine, "cyl.3", "Polished patch on the thrust side, 40 mm below the deck.")
    commands.write_note(hand.shop, hand.engine, "deck.A", "Straight edge rocks at the back; asks for a light cut.")


def _kestrel(shop: Shop, chance: Random) -> None:
    layout = "v8-90-cross-plane, cams block 5"
    engine = commands.open_engine(
        shop, name="Kestrel", engine="kestrel", layout=layout, units="metric", use="circuit",
        customer="Halloran & Pike, Thornfield hill climb", purpose="Hill climb, pulls from 4,000 to 7,000",
        fuel="104 octane race blend", notes="New block and crank, first build.")
    hand = Hand(shop, engine, layout_from_text(layout), chance, inch=False)
    _sheet(shop, engine, KESTREL_SIZES, KESTREL_LIMITS)
    hand.part(
        bodies.PartListed(part="block-k", kind="block", words="aluminium block, iron liners", serial="K 0007",
                          material="aluminium casting"),
        bodies.PartListed(part="crank-k", kind="crank", words="steel crank, nitrided", serial="K 0007"),
        bodies.PartListed(part="pump-k", kind="oil pump", words="oil pump, high volume", where="on order",
                          supplier="Greyfell Pumps", promised="2026-03-27"),
        bodies.PartFitted(slot="block", part="block-k", all_along=True),
        bodies.PartFitted(slot="crank", part="crank-k", all_along=True))
    hand.part(*(bodies.StockCounted(kind=kind, size=size, change=change, sets=sets)
                for kind in ("main-shell", "rod-shell")
                for size, change, sets in (("std", "0 mm", 1), ("+0.026", "-0.026 mm", 1), ("-0.026", "+0.026 mm", 1))))
    _kestrel_bottom(hand)
    _kestrel_cylinders(hand)
    _sheet(shop, engine, KESTREL_RUNNING + KESTREL_TRAIN, ())
    weigh(hand)
    tighten(hand)
    outline(hand)
    _sheet(shop, engine, KESTREL_GEAR, ())
    mock_up_valves(hand)
    weigh_train(hand)
    flow_ports(hand)


def _kestrel_bottom(hand: Hand) -> None:
    hand.read("crank", "run-out", 0.012, "indicator-mm", scatter=0.002, digits=2)
    journals = (64.986, 64.984, 64.987, 64.985, 64.986)
    for number, size in enumerate(journals, 1):
        hand.read(f"main.{number}", "journal", size, "mic-50-75", places=JOURNAL)
    hand.set_gauge("bore-gauge-mm", "ring-69", "69.000")
    note_warm_block(hand.shop, hand.engine)  # a hundredth of a millimetre larger than at 20 °C
    for number in range(1, 6):
        bias = {"A": 0.014} if number == 3 else {}
        hand.read(f"main.{number}", "housing-bore", 69.018, "bore-gauge-mm", places=ROUND, bias=bias, set_to=69.0)
        for end in ("upper", "lower"):
            hand.read(f"main.{number}.shell.{end}", "shell-wall", 1.982, "ball-mic-mm", places=("crown",), scatter=0.001)
    hand.set_gauge("bore-gauge-mm", "ring-65", "65.000")  # the first cap only: it tells the crush of this kind of shell
    hand.read("main.1", "installed-bore", 65.052, "bore-gauge-mm", places=("B front", "B rear"), set_to=65.0)
    for number in range(1, 5):
        hand.read(f"pin.{number}", "journal", 53.984 if number != 2 else 53.979, "mic-50-75", places=JOURNAL)
        hand.read(f"pin.{number}", "journal-width", 49.62, "mic-inside-mm", scatter=0.01, digits=2)
    hand.set_gauge("bore-gauge-mm", "mic-50-75", "57.600")
    for label in hand.layout.labels:
        hand.read(f"rod.{label}", "housing-bore", 57.607, "bore-gauge-mm", places=ROUND, set_to=57.6)
        hand.read(f"rod.{label}", "big-end-width", 24.64, "mic-0-25", scatter=0.005, digits=2)
        for end in ("upper", "lower"):
            hand.read(f"rod.{label}.shell.{end}", "shell-wall", 1.784, "ball-mic-mm", places=("crown",), scatter=0.001)
        hand.read(f"rod.{label}", "rod-big-end-weight", 452.0, "scale", scatter=0.5, digits=1)
        hand.read(f"rod.{label}", "rod-small-end-weight", 176.0, "scale", scatter=0.4, digits=1)
    hand.set_gauge("bore-gauge-mm", "mic-50-75", "54.000")
    hand.read("rod.1", "installed-bore", 54.037, "bore-gauge-mm", places=("B front", "B rear"), set_to=54.0)


def _kestrel_cylinders(hand: Hand) -> None:
    hand.set_gauge("bore-gauge-mm", "mic-75-100", "99.000")
    for label in hand.layout.labels:
        hand.read(f"cyl.{label}", "bore", 99.006, "bore-gauge-mm", places=CYLINDER, bias={"bottom": -0.003}, set_to=99.0)
        hand.read(f"cyl.{label}.piston", "skirt", 98.938, "mic-75-100")
        hand.read(f"cyl.{label}.piston", "weight", 412.0, "scale", scatter=0.8, digits=1)
        hand.read(f"cyl.{label}", "deck-clearance", 0.12, "deck-dial-mm", places=("inboard", "outboard"), scatter=0.01,
                  digits=2)
        hand.read(f"chamber.{label}", "chamber-volume", 58.0, "burette", scatter=0.12, digits=1)
        for ring, gap in (("top", 0.44), ("second", 0.52)):
            hand.read(f"cyl.{label}.ring.{ring}", "end-gap", gap, "gap-feeler-mm", scatter=0.01, digits=2)
