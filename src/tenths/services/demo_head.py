"""What the second demo engine's head did on the flow bench. All made up."""

from random import Random

from tenths.logbook import bodies
from tenths.services.demo_hand import Hand
from tenths.services.head_bench import begin_run, run_name

LIFTS = (2, 4, 6, 8, 10, 12, 14)  # mm
INTAKE, EXHAUST = (46, 90, 131, 161, 183, 200, 211), (34, 67, 92, 109, 121, 128, 132)  # cfm at 28 inH2O
BACK = (42, 82, 116, 139, 154, 164, 170)  # the intake, reverse
RUNS = (("1.in", "forward", INTAKE, 1.004), ("2.in", "forward", INTAKE, 1.010), ("3.in", "forward", INTAKE, 0.984),
        ("4.in", "forward", INTAKE, 0.998), ("1.in", "reverse", BACK, 1.0), ("1.ex", "forward", EXHAUST, 1.0),
        ("2.ex", "forward", EXHAUST, 1.012))
LEAK, SCATTER = 1.1, 0.003


def flow_ports(hand: Hand) -> None:
    """Some ports on the flow bench at 28 inH2O, one of them both ways."""
    chance = Random(41)  # noqa: S311 - made-up readings; its own scatter, so that what is read after it stays as it is
    for valve, way, flows, share in RUNS:
        station = f"valve.{valve}"
        run = bodies.FlowBegun(run=run_name(hand.shop.build(hand.engine), station, way), station=station, way=way, pressure="28 inH2O",
                               leak=f"{LEAK} cfm", temperature="21 °C", barometer="1009 mbar",
                               note="clay entry, bore of 102 mm" if way == "forward" else "bore of 102 mm")
        begin_run(hand.shop, hand.engine, run, [
            (f"{lift} mm", f"{flow * share * (1 + chance.gauss(0.0, SCATTER)) + LEAK:.1f} cfm")
            for lift, flow in zip(LIFTS, flows, strict=True)])
