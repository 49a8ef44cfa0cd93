"""Commands of joints and outlines: tighten shows them, joint states one, tick enters what was done, outline draws one."""

from typing import Any

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.logbook import bodies
from tenths.services.shop import Shop

Answer = dict[str, Any]


@click.command("tighten")
@click.argument("engine")
@click.option("--joint", help="Only this joint.")
@in_units
@as_json
@with_shop
def tighten_command(shop: Shop, engine: str, joint: str | None, units: str | None, json_: bool) -> None:  # noqa: FBT001
    r"""Joints: preload with its scatter, reach, order and rounds, ticks.

    \b
    Examples:
      tenths tighten kestrel
      tenths tighten kestrel --joint head-bolts
    """
    from tenths.services import tightening  # noqa: PLC0415 - only here

    answer = {"engine": engine, "joints": [tightening.one_joint(shop, engine, joint, units or "")]} if joint else (
        tightening.tightening(shop, engine, units or ""))
    if json_:
        put_json(answer)
        return
    if not answer["joints"]:
        say("No joint yet: 'tenths joint' states one.")
    for one in answer["joints"]:
        _joint(one)


def _joint(one: Answer) -> None:
    heading(f"{one['words']} ({one['joint']}): {one['count']} x {one['thread']} {one['strength']}, {one['method']}, {one['lubricant']}")
    say("  rounds: " + ", ".join(row["text"] for row in one["rounds"]))
    by_face: dict[str, list[str]] = {}
    for row in one["order"]:
        by_face.setdefault("" if one["together"] else row["station"], []).append(
            f"{row['station']} {row['number']}" if one["together"] else str(row["number"]))
    first = next(iter(by_face.values()), [])
    each = f" (each of {', '.join(by_face)})" if "" not in by_face and len(by_face) > 1 else ""
    wrapped("order: " + ", ".join(first) + each, "  ", "    ")
    table([(row["text"], row["words"] + (f", {row['limit']}: {row['verdict']}" if row["limit"] else "")) for row in one["findings"]],
          right=(0,))
    for row in one["swaps"]:
        mark = "*" if row["used"] else " "
        say(f"  {mark} {row['to']} instead of {row['from']}: {row['ratio']:.2f} of the preload; "
            f"the same takes {row['same_preload']['text']}")
    for note in one["notes"]:
        wrapped(note, "  ! ", "    ")
    states = [f["state"] for f in one["fasteners"]]
    say("  " + ", ".join(f"{states.count(s)} {s}" for s in dict.fromkeys(states)))
    for f in one["fasteners"]:
        for wrong in f["wrong"]:
            wrapped(f"{f['station']} {f['number']}: {wrong}", "  ! ", "    ")


@click.command("joint")
@click.argument("engine")
@click.argument("joint")
@click.option("--words", default="", help="What it is called; else its short name.")
@click.option("--at", "stations", required=True, metavar="STATIONS", help="Where: a station or a pattern, like main.* or head.A.")
@click.option("--pattern", required=True, help="2, 'line of 5', '2 rows of 5' or 'circle of 8'.")
@click.option("--thread", required=True, help="M10x1.25, or 3/8-24.")
@click.option("--together", is_flag=True, help="The stations are one face (main caps).")
@click.option("--order", default="", help="The maker's order, as numbers.")
@click.option("--strength", default="", help="Class (10.9) or grade ('grade 8').")
@click.option("--proof", default="", help="Proof strength, where no class says it.")
@click.option("--yields", default="", help="Yield strength, likewise.")
@click.option("--tensile", default="", help="Tensile strength, likewise.")
@click.option("--length", default="", help="Of the bolt under its head.")
@click.option("--washer", default="", help="Its thickness.")
@click.option("--clamped", default="", help="Thickness of what is clamped.")
@click.option("--thread-depth", default="", help="Face to the last full thread of the hole.")
@click.option("--counterbore", default="", help="Face to the first thread of the hole.")
@click.option("--chamfer", default="", help="End of the bolt without full thread.")
@click.option("--bearing", default="", help="Outside diameter of the face under the head.")
@click.option("--hole", default="", help="Its inside diameter.")
@click.option("--into", default="", help="What it is screwed into: steel, iron, aluminium, magnesium.")
@click.option("--segment", "segments", multiple=True, help="Of the free bolt, '12 mm x 8.5 mm'; may be given more than once.")
@click.option("--torque", default="", help="Of the last round.")
@click.option("--angle", default="", help="After the torque.")
@click.option("--stretch", default="", help="That is wanted.")
@click.option("--step", "steps", multiple=True, help="A round, '50 %' or a torque; may be given more than once.")
@click.option("--lubricant", default="oil", help="dry, oil, sealer, thread lock, moly, paste.")
@click.option("--given-for", default="", help="Lubricant that the torque was given for, if another.")
@click.option("--thread-friction", default="", help="Coefficient, where it is known.")
@click.option("--head-friction", default="", help="Likewise under the head.")
@click.option("--wrench", default="", help="Id of the wrench.")
@click.option("--uses", default=0, type=click.IntRange(0), help="How often a bolt may be tightened; 0: no limit.")
@click.option("--growth", default="", help="By how much its free length may grow.")
@click.option("--source", default="maker's sheet", help="Who says so.")
@with_shop
def joint_command(shop: Shop, engine: str, joint: str, order: str, words: str, **said: Any) -> None:
    r"""State a bolted joint; stated again under its name, it is replaced.

    \b
    Example:
      tenths joint marigold main-caps --at main.* --pattern 2 --together \
        --thread 1/2-13 --strength "grade 8" --torque "75 lbf ft"
    """
    from tenths.services.commands import fasten  # noqa: PLC0415 - only here

    method = "stretch" if said["stretch"] and not said["torque"] else "torque and angle" if said["angle"] else "torque"
    numbers = tuple(int(n) for n in order.replace("-", " ").replace(",", " ").split() if n.isdecimal())
    body = bodies.JointStated(joint=joint, words=words or joint.replace("-", " "), order=numbers, method=method, **said)
    entry = fasten(shop, engine, body)
    say(f"{entry.position}: joint {joint} stated")


@click.command("tick")
@click.argument("engine")
@click.argument("joint")
@click.argument("station")
@click.argument("number", type=int)
@click.argument("what", type=click.Choice(["tightened", "checked", "loosened", "renewed", "measured"]))
@click.option("--round", "round_", default=0, type=click.IntRange(0), help="Which round; 0 is the last.")
@click.option("--value", default="", help="What the wrench or the gauge showed.")
@click.option("--free", "free_length", default="", help="Free length of the bolt.")
@click.option("--tight", "tight_length", default="", help="Its length when tightened.")
@click.option("--with", "instrument", default="", metavar="INSTRUMENT", help="What it was done or read with.")
@click.option("--note", default="", help="Words.")
@with_shop
def tick_command(shop: Shop, engine: str, joint: str, station: str, number: int, what: str, round_: int, **said: str) -> None:
    r"""Enter what was done to a fastener.

    \b
    Examples:
      tenths tick kestrel rod-bolts rod.3 1 tightened --tight "46.155 mm"
      tenths tick kestrel main-caps main.3 1 checked
    """
    from tenths.services.commands import fasten  # noqa: PLC0415 - only here

    entry = fasten(shop, engine, bodies.FastenerTicked(joint=joint, station=station, number=number, what=what, round=round_, **said))
    say(f"{entry.position}: {joint} {number} at {station} {what}")


@click.command("outline")
@click.argument("engine")
@click.argument("outline")
@click.argument("points", nargs=-1)
@click.option("--with", "moves_with", default="block", type=click.Choice(["block", "crank", "rod", "piston"]), help="What it moves with.")
@click.option("--words", default="", help="What it is called; else its short name.")
@click.option("--radius", default="", help="Of the rounding about every point.")
@click.option("--clears", multiple=True, help="Outline that it is held against; else all that move otherwise.")
@click.option("--least", default="", help="Clearance wanted.")
@click.option("--cylinder", default="", help="Only of this cylinder.")
@click.option("--source", default="", help="Who says so.")
@with_shop
def outline_command(shop: Shop, engine: str, outline: str, points: tuple[str, ...], words: str, **said: Any) -> None:
    r"""Draw an edge, point by point: along / across, from its body's origin.

    Without points it is taken away.

    \b
    Example:
      tenths outline kestrel pan-rail "-59 / 69" "-38 / 93" --radius 1 --least 1.3
    """
    from tenths.services.commands import fasten  # noqa: PLC0415 - only here

    body = bodies.OutlineDrawn(outline=outline, words=words or outline.replace("-", " "), points=points, **said)
    entry = fasten(shop, engine, body)
    say(f"{entry.position}: outline {outline} " + (f"drawn, {len(points)} points" if points else "taken away"))
