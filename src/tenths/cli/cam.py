"""Commands of cam timing: lobes as read and drawn, degreeing step by step, the maker's card."""

from pathlib import Path
from typing import Any

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.errors import BadInput
from tenths.services.shop import Shop

Answer = dict[str, Any]
AT = click.Choice(["follower", "valve", "retainer"])


@click.command("lobes")
@click.argument("engine")
@click.argument("lobe", required=False, default="")
@click.argument("rows", nargs=-1, metavar="ANGLE=LIFT...")
@click.option("--from", "path", type=click.Path(path_type=Path), help="A CSV or XLSX with angle and lift, or a column for each lobe.")
@click.option("--at", type=AT, default="follower", show_default=True, help="Where the dial stands.")
@click.option("--ratio", default="", help="Of the rocker, where the dial stands behind it.")
@click.option("--read-to", default="", metavar="ANGLE", help="Least step that the wheel is read to; else 0.25 deg.")
@click.option("--dial-good-to", default="", metavar="LENGTH", help="Limit of error of the dial; else 0.0003 in.")
@click.option("--both-sides", is_flag=True, help="Places were come to from both sides, so that play counts.")
@click.option("--with", "instrument", default="", metavar="DIAL", help="The dial, as listed.")
@click.option("--check", default="", metavar="LIFT", help="Lift at which seat events are told; else as cam-timing is set.")
@click.option("--note", default="")
@in_units
@as_json
@with_shop
def lobes_command(shop: Shop, engine: str, lobe: str, rows: tuple[str, ...], path: Path | None, at: str, ratio: str, read_to: str,
                  dial_good_to: str, both_sides: bool, instrument: str, check: str, note: str, units: str | None,  # noqa: FBT001
                  json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Lobes: centre, events, durations, flanks; or take readings of one, or a table.

    Angles are what the wheel reads: 24, -30, "30 BTDC", "70 ABDC". The wheel must be zeroed first, with 'tenths degree'.

    \b
    Examples:
      tenths lobes marigold
      tenths lobes marigold lobe.1.ex "-200=0.050" "-24=0.050"
      tenths lobes marigold --from lobes.csv --at valve --ratio 1.6
    """
    from tenths.logbook.bodies import LobePoint, LobeRead  # noqa: PLC0415 - only here
    from tenths.services.lobe_import import import_lobes  # noqa: PLC0415 - only here

    def body(points: tuple[LobePoint, ...]) -> LobeRead:
        return LobeRead(station=lobe, points=points, at=at, ratio=ratio, read_to=read_to, lift_good_to=dial_good_to,
                        approach="both sides" if both_sides else "one side", instrument=instrument, note=note)

    if path is not None:
        if rows:
            raise BadInput("lobes: readings are given and a file as well; give one of them")
        lobes_, readings, remarks = import_lobes(shop, engine, path, body(()))
        for remark in () if json_ else remarks:
            wrapped(remark, "  ! ", "    ")
        if not json_:
            say(f"{engine}: {lobes_} {'lobe' if lobes_ == 1 else 'lobes'}, {readings} readings taken")
    elif rows:
        from tenths.services.commands import instrument_cards  # noqa: PLC0415 - only here

        read = body(tuple(LobePoint(angle=a, lift=h) for a, h in map(_pair, rows)))
        shop.append(engine, *instrument_cards(shop, engine, instrument), read)
    _show_lobes(shop, engine, lobe, check, units or "", json_=json_)


def _show_lobes(shop: Shop, engine: str, lobe: str, check: str, units: str, *, json_: bool) -> None:
    from tenths.services.lobes import check_lift, lobes  # noqa: PLC0415 - only here

    answer = lobes(shop, engine, units, check=check_lift(shop, engine, check))
    if lobe:
        if not any(s["station"] == lobe for s in answer["stations"]):
            raise BadInput(f"lobe: {lobe!r} is not on this engine; there are {', '.join(s['station'] for s in answer['stations'][:4])}")
        answer["lobes"] = [row for row in answer["lobes"] if row["station"] == lobe]
    if json_:
        put_json(answer)
        return
    if answer["card"]:
        _card(answer["card"])
    if not answer["lobes"]:
        say("No lobe was read yet: 'tenths degree ENGINE' tells how to begin.")
        return
    _read(answer)


def _read(answer: Answer) -> None:
    if answer["lost"]:
        say(f"The zero of the wheel is lost: {answer['lost']}.")
    for row in answer["lobes"]:
        _lobe(row)
    if answer["timing"]:
        heading("Timing by cylinder")
        table([(f"  {t['cylinder']}", t["lift"]["text"], t["separation"]["text"], t["overlap"]["text"], t["advance"]["text"])
               for t in answer["timing"]], heads=("  cylinder", "at", "separation", "overlap", "advance"), right=(1, 2, 3, 4))
    for row in answer["shafts"]:
        _shaft(row)
    for note in answer["notes"]:
        wrapped(note, "  ! ", "    ")


def _lobe(row: Answer) -> None:
    where = f"{row['now']['text']} {'after' if row['side'] == 'intake' else 'before'} top dead centre"
    heading(f"{row['words'].capitalize()}: centre {where if row['now']['text'] else 'not known yet'}")
    how = f"{row['way']}{' at ' + row['at']['text'] if row['at']['text'] else ''}" if row["way"] else row["why"]
    said = [f"{row['readings']} readings", how, f"lift {row['peak']['text']}" if row["peak"]["text"] else "",
            f"area {row['area']['text']} above {row['area']['lift']['text']}" if row["area"] else ""]
    wrapped(", ".join(filter(None, said)), "  ")
    dead = ("top", "bottom") if row["side"] == "intake" else ("bottom", "top")
    if row["flanks"]:
        say(f"  opens before {dead[0]}, closes after {dead[1]} dead centre, degrees with their 95 %:")
        table([(f"  {f['lift']['text']}", *(f[name]["text"].removesuffix(" deg") for name in ("opens", "closes", "duration", "centre")))
               for f in row["flanks"]], heads=("  lift", "opens", "closes", "duration", "centre"), right=(0, 1, 2, 3, 4))
    for ramp in row["ramps"]:
        if ramp["velocity"]:
            say(f"  {ramp['flank']} ramp to {ramp['height']['text']} over {ramp['length']['text']}, {ramp['velocity']}")
    if row["base"]:
        base = row["base"]
        say(f"  base circle: {base['count']} readings within {base['run_out']['text']}; noise alone would make {base['by_noise']['text']}")
    for text in filter(None, (row["stale"], row["late"], *row["notes"])):
        wrapped(text, "  ! ", "    ")


def _shaft(row: Answer) -> None:
    heading(f"Camshaft {row['shaft']}, {row['side']} lobes: spread {row['spread']['text']}, twist {row['twist']['text']} a cylinder")
    say(f"  errors alone would spread them by {row['by_error']['text']}" + ("" if row["clear"] else ": nothing is shown to be wrong"))
    table([(f"  {r['words']}", r["off"]["text"]) for r in row["rows"]], right=(1,))


def _card(card: Answer) -> None:
    heading(f"{card['source'].capitalize()}")
    for lobe in card["lobes"]:
        rows = ", ".join(f"{d['duration']['text']} at {d['lift']['text']}" for d in lobe["durations"])
        said = ", ".join(filter(None, (lobe["lift"]["text"], rows, lobe["centre"]["text"] and f"centre {lobe['centre']['text']}")))
        if said:
            say(f"  {lobe['side']}: {said}")
    if card["timing"]:
        t = card["timing"]
        say(f"  separation {t['separation']['text']}, overlap {t['overlap']['text']}, advance {t['advance']['text']}"
            + (f" at {t['lift']['text']}" if t["lift"]["text"] else ""))


@click.command("degree")
@click.argument("engine")
@click.argument("lobe", required=False, default="")
@click.option("--top", "tops", nargs=2, multiple=True, metavar="BEFORE AFTER",
              help="What the wheel reads on either side of top dead centre; once for each pair.")
@click.option("--cylinder", default="", help="Of these readings; else the first of the firing order.")
@click.option("--way", type=click.Choice(["stop", "heights", "dwell"]), default="stop", show_default=True)
@click.option("--left", is_flag=True, help="The wheel was left as it was, not moved to read 0 at top dead centre.")
@click.option("--read-to", default="", metavar="ANGLE", help="Least step that the wheel is read to; else 0.25 deg.")
@click.option("--wheel-good-to", default="", metavar="ANGLE", help="Limit of error of the wheel; else 0.15 deg.")
@click.option("--play", nargs=2, default=None, metavar="FORWARDS BACKWARDS",
              help="What the wheel reads at one place come to from either side, two or more each: tells its play and keeps nothing.")
@click.option("--lost", is_flag=True, help="The wheel was moved: its zero is lost.")
@click.option("--move", default="", metavar="ANGLE", help="The timing set was moved: so much earlier, of the crank.")
@click.option("--position", default="", help="Name of the position that it was moved to.")
@click.option("--shaft", default="", help="The camshaft that was moved; else all.")
@click.option("--note", default="")
@in_units
@as_json
@with_shop
def degree_command(shop: Shop, engine: str, lobe: str, tops: tuple[tuple[str, str], ...], cylinder: str, way: str, left: bool,  # noqa: FBT001
                   read_to: str, wheel_good_to: str, play: tuple[str, str] | None, lost: bool, move: str,  # noqa: FBT001
                   position: str, shaft: str, note: str,
                   units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Degree a camshaft, a few readings at a time: what comes next, and when it is enough.

    \b
    Examples:
      tenths degree marigold
      tenths degree kestrel --way heights --top -30.5 30.25 --top -42 41.75
      tenths degree kestrel --play "10.5 10.25" "9.75 10"
      tenths degree kestrel --move 4 --position +4
    """
    if play is not None:
        _play(play, json_=json_)
        return
    from tenths.logbook import bodies  # noqa: PLC0415 - only here
    from tenths.services.degreeing import degreeing  # noqa: PLC0415 - only here

    new: list[bodies.Body] = []
    if lost:
        new.append(bodies.WheelMoved(note=note))
    if tops:
        layout = shop.build(engine).layout
        label = cylinder or (layout.firing_order[0] if layout else "")
        new.append(bodies.WheelZeroed(cylinder=label, before=tuple(a for a, _ in tops), after=tuple(b for _, b in tops), way=way,
                                      moved=not left, read_to=read_to, wheel_good_to=wheel_good_to, note=note))
    if move:
        new.append(bodies.TimingMoved(advance=move, position=position, shaft=shaft, note=note))
    if new:
        shop.append(engine, *new)
    answer = degreeing(shop, engine, units or "", station=lobe)
    if json_:
        put_json(answer)
        return
    _degree(answer)


def _play(readings: tuple[str, str], *, json_: bool) -> None:
    from tenths.services.wheel import backlash  # noqa: PLC0415 - only here

    found = backlash(*readings)
    if json_:
        put_json(found)
        return
    doubt = "" if found["clear"] else ", not clear of its error"
    say(f"Play of the wheel {found['play']['text']}{doubt}: flanks come to from unlike sides "
        f"shift a centre by {found['shift']['text']}, and averaging does not remove that.")


def _degree(answer: Answer) -> None:
    say("  ".join(("[" + p["title"] + "]") if p["now"] else ("done: " if p["done"] else "") + p["title"] for p in answer["phases"]))
    if zero := answer["zero"]:
        say(f"Top dead centre of cylinder {zero['cylinder']} by {zero['words']}: sure to {zero['interval']['text']} (95 %)")
        for note in filter(None, (zero["stale"], *zero["notes"])):
            wrapped(note, "  ! ", "    ")
    if answer["centre"]["text"]:
        aim = f"; {answer['target']['text']} is wanted" if answer["target"]["text"] else ""
        say(f"{answer['words'].capitalize()}: centre {answer['centre']['text']}{aim}")
    heading(answer["title"])
    for sentence in answer["say"]:
        wrapped(sentence, "  ", "  ")
    table([(f"  {w['words']}", w["expect"]) for w in answer["wants"]])
    wrapped(answer["caution"], "  ! ", "    ")


@click.command("cam-card")
@click.argument("engine")
@click.option("--intake-lift", default="", help="Greatest lift at the intake lobe.")
@click.option("--exhaust-lift", default="", help="Greatest lift at the exhaust lobe.")
@click.option("--intake", "intake_durations", multiple=True, metavar="'226 @ 0.050 in'", help="Duration at a lift; once for each.")
@click.option("--exhaust", "exhaust_durations", multiple=True, metavar="'230 @ 0.050 in'", help="Duration at a lift; once for each.")
@click.option("--separation", default="", help="Angle between the lobes.")
@click.option("--advance", default="", help="By which the intake's centre comes before that.")
@click.option("--intake-centre", default="", help="After top dead centre.")
@click.option("--exhaust-centre", default="", help="Before top dead centre.")
@click.option("--events", default="", metavar="'22-62-66-18 @ 0.050 in'", help="The four events and their lift.")
@click.option("--base-circle", default="", help="Its diameter.")
@click.option("--follower", type=click.Choice(["", "flat", "roller", "pivoted"]), default="")
@click.option("--source", default="maker's card", show_default=True)
@as_json
@with_shop
def cam_card_command(shop: Shop, engine: str, *, json_: bool, **said: Any) -> None:
    r"""Enter the maker's card of the camshaft.

    \b
    Example:
      tenths cam-card marigold --intake-lift 0.265 --intake "181 @ 0.050" \
        --separation 110 --advance 1
    """
    from tenths.logbook.bodies import CamCarded  # noqa: PLC0415 - only here
    from tenths.services.lobes import lobes  # noqa: PLC0415 - only here

    shop.append(engine, CamCarded(**said))
    card = lobes(shop, engine)["card"]
    if json_:
        put_json(card)
        return
    _card(card)


def _pair(text: str) -> tuple[str, str]:
    angle, sign, lift = text.partition("=")
    if not sign or not angle.strip() or not lift.strip():
        raise BadInput(f'lobes: {text!r} is not ANGLE=LIFT, such as "20=0.050 in" or "30 BTDC=1.2 mm"')
    return angle.strip(), lift.strip()
