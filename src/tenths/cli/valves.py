"""Commands of the valve gear: piston to valve, springs, rocker and push-rod."""

from typing import Any

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.errors import BadInput
from tenths.services.shop import Shop

Answer = dict[str, Any]


def _notes(notes: list[str]) -> None:
    for note in notes:
        wrapped(note, "  ! ", "    ")


@click.command("valve-clearance")
@click.argument("engine")
@click.option("--with", "tried", multiple=True, metavar="WHAT=TEXT",
              help="Try advance=4 (camshaft earlier) or cut=0.010 in (off head or deck).")
@in_units
@as_json
@with_shop
def valve_clearance_command(shop: Shop, engine: str, tried: tuple[str, ...], units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Piston to valve over the overlap: the closest, where, and what moves it.

    Clay or a dial goes before what is reckoned from drop, pocket, deck, gasket
    and lobe.

    \b
    Examples:
      tenths valve-clearance kestrel
      tenths valve-clearance kestrel --with advance=4 --with "cut=0.25 mm"
    """
    from tenths.services.valve_clearance import valve_clearance  # noqa: PLC0415 - only here

    answer = valve_clearance(shop, engine, units or "", given=_tried(tried))
    if json_:
        put_json(answer)
        return
    rows = [row for row in answer["valves"] if row["clearance"]["text"] or row["angle"] is not None]
    if not rows:
        wrapped(f"Nothing is known of piston to valve yet. {answer['valves'][0]['missing'].capitalize()}.", "", "")
        wrapped("Read or state these, or read clay-thickness or touch-travel at a valve: 'tenths features ENGINE VALVE' says how.", "", "")
        return
    heading("Piston to valve, closest first")
    table([(f"  {row['station']}", row["clearance"]["text"] or row["reckoned"]["text"], row["least"]["text"], row["verdict"],
            "" if row["angle"] is None else f"{row['angle']:g} deg", row["radial"]["text"], row["changed"]["text"]) for row in rows],
          heads=("  valve", "room", "at least", "", "closest at", "beside", "as tried" if answer["tried"] else ""), right=(1, 2, 4, 5, 6))
    moved = [row for row in rows if row["angle"] is not None]
    if moved:
        heading("What moves it (reckoned)")
        table([(f"  {row['station']}", row["reckoned"]["text"], row["per_degree"]["text"], row["earlier"]["text"], row["later"]["text"],
                row["per_cut"]["text"]) for row in moved],
              heads=("  valve", "reckoned", "per deg later", "1 deg earlier", "1 deg later", f"{moved[0]['cut']['text']} off"),
              right=(1, 2, 3, 4, 5))
        for lobe in dict.fromkeys(row["lobe"] for row in moved):
            wrapped(f"Lobe: {lobe}.", "  ")
    _notes(answer["notes"])


def _bare(number: Answer) -> str:
    """The number without its doubt and unit, for narrow tables."""
    return number["text"].partition(" ±")[0].removesuffix(number["unit"]).strip()


def _ratio(row: Answer) -> str:
    return "" if row["ratio_mean"] is None else f"{row['ratio_closed']:.3f} {row['ratio_mean']:.3f} {row['ratio_open']:.3f}"


def _tried(given: tuple[str, ...]) -> dict[str, str]:
    found: dict[str, str] = {}
    for text in given:
        name, sign, value = text.partition("=")
        if not sign or not value.strip():
            raise BadInput(f"with: {text!r} is not WHAT=TEXT, such as advance=4")
        found[name.strip()] = value.strip()
    return found


@click.command("springs")
@click.argument("engine")
@in_units
@as_json
@with_shop
def springs_command(shop: Shop, engine: str, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Valve springs: heights, loads, room before the coils bind, stress, surge.

    Shims are chosen with: tenths choose ENGINE shims

    \b
    Example:
      tenths springs kestrel
    """
    from tenths.services.valve_springs import valve_springs  # noqa: PLC0415 - only here

    answer = valve_springs(shop, engine, units or "")
    if json_:
        put_json(answer)
        return
    rows = [row for row in answer["valves"] if any(row[k]["text"] for k in ("installed", "seat", "bind", "retainer"))]
    if not rows:
        say("Nothing is known of the springs yet: read installed-height at a valve, state spring-rate and spring-free-height.")
        return
    heading("Springs")
    length, force = rows[0]["installed"]["unit"], rows[0]["seat"]["unit"]
    table([(f"  {row['station']}", *(_bare(row[k]) for k in ("installed", "seat", "open")), row["bind"]["text"],
            row["retainer"]["text"]) for row in rows],
          heads=("  valve", f"installed {length}", f"closed {force}", f"open {force}", "room to bind", "to seal"),
          right=(1, 2, 3, 4, 5))
    for row in answer["spreads"]:
        wrapped(f"{row['words']}: {row['text']}, at most {row['limit']['text']} ({row['authority']}): {row['verdict']}", "  ")
    _wires(rows)
    wrapped(answer["caution"], "  ! ", "    ")
    _notes(answer["notes"])


def _wires(rows: list[Answer]) -> None:
    """Each kind of spring once: valves whose wires say the same stand together."""
    told: dict[str, tuple[Answer, list[str]]] = {}
    for row in rows:
        for wire in row["wires"]:
            key = f"{wire['which']} {wire['rate']['text']} {wire['index']} {wire['wrong']}"
            told.setdefault(key, (wire, []))[1].append(row["station"])
    for wire, stations in told.values():
        heading(f"{wire['which'].capitalize()} from its wire, {len(stations)} valves, numbers of {stations[0]}")
        if wire["wrong"]:
            say(f"  {wire['wrong']}")
            continue
        stress = f", open {wire['open_stress']['text']}, {wire['of_strength']:.0%} of the wire's strength" if wire["of_strength"] else ""
        wrapped(f"rate {wire['rate']['text']}, index {wire['index']:.2f}, stress closed {wire['seat_stress']['text']}{stress}", "  ")
        say(f"  swings at {', '.join(mode['text'] for mode in wire['modes'])}")
        met = ", ".join(f"{row['harmonic']} at {row['text']}" for row in wire["meets"])
        wrapped(f"harmonics of the lobe that meet it: {met or 'none in the range'}", "  ")
        if wire["can_buckle"]:
            wrapped(f"free height above {wire['buckles']['text']}: it can buckle where nothing guides it", "  ")


@click.command("rocker")
@click.argument("engine")
@click.option("--lash", default="", metavar="COLD", help="Lash at the valve as set cold: told hot, from the pieces given.")
@click.option("--piece", "pieces", multiple=True, metavar="MOVES:LENGTH:MATERIAL:RISE",
              help="What grows: pivot, push or tip; its length, material and rise of temperature.")
@click.option("--ratio", default=1.6, show_default=True, help="Ratio of the rocker, for --lash.")
@in_units
@as_json
@with_shop
def rocker_command(shop: Shop, engine: str, lash: str, pieces: tuple[str, ...], ratio: float, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Rocker and push-rod: true ratio, track on the tip, push-rod length, lash hot.

    \b
    Examples:
      tenths rocker kestrel
      tenths rocker kestrel --lash "0.30 mm" --piece "pivot:230 mm:aluminium:65" \
        --piece "push:260 mm:steel:65" --piece "tip:300 mm:aluminium:65"
    """
    from tenths.services.valve_rocker import hot_lash, valve_rocker  # noqa: PLC0415 - only here

    if pieces and not lash:
        raise BadInput("piece: pieces tell the lash warm; give the lash cold too, with --lash")
    answer = hot_lash(shop, engine, units or "", cold=lash, ratio=ratio, pieces=pieces) if lash else valve_rocker(shop, engine, units or "")
    if json_:
        put_json(answer)
        return
    if lash:
        say(f"{answer['cold']['text']} cold, {answer['hot']['text']} warm, {answer['change']['text']} more")
        say(f"  pivot rises {answer['pivot']['text']}, push-rod {answer['push']['text']}, tip {answer['tip']['text']}")
        return
    rows = [row for row in answer["valves"] if row["nose"]["text"] or row["ratio_mean"] is not None]
    if not rows:
        say("Nothing is known of the rockers yet: state rocker-arm, read nose-height at a valve.")
    else:
        heading("Rockers")
        table([(f"  {row['station']}", _ratio(row), _bare(row["sweep"]), _bare(row["mid_sweep"]), _bare(row["length"]),
                _bare(row["longer_by"])) for row in rows],
              heads=("  valve", "ratio over the lift", "track", "least", "push-rod for it", "longer by"), right=(1, 2, 3, 4, 5))
        say(f"  in {rows[0]['mid_sweep']['unit']}; ratio closed, mean, open")
        for words in dict.fromkeys(row["missing"] for row in rows if row["missing"]):
            wrapped(words, "  ! ", "    ")
    heading("How")
    for step in answer["procedure"]:
        wrapped(step, "  - ", "    ")
