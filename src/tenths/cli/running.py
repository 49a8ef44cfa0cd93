"""Commands of the running engine: forces, loads, balance, torsion, clearances."""

from typing import Any

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.services.shop import Shop

Answer = dict[str, Any]


def _used(answer: Answer) -> None:
    """What it was reckoned from, guesses marked."""
    heading("Reckoned from")
    table([(f"  {row['words']}", row["text"], row["origin"]) for row in answer["used"]], right=(1,))


def _notes(answer: Answer) -> None:
    for note in answer["notes"]:
        wrapped(note, "  ! ", "    ")


@click.command("forces")
@click.argument("engine")
@in_units
@as_json
@with_shop
def forces_command(shop: Shop, engine: str, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Forces and couples that reach the mounts, order by order, at the highest speed.

    \b
    Example:
      tenths forces kestrel
    """
    from tenths.services.running_balance import forces  # noqa: PLC0415 - only here

    answer = forces(shop, engine, units or "")
    if json_:
        put_json(answer)
        return
    say(f"{engine} at {answer['speed']['text']}: fires {'-'.join(answer['firing_order'])}, "
        f"every {', '.join(f'{i:g}' for i in dict.fromkeys(answer['firing_intervals']))} deg")
    table([(f"  {row['order']}" if kind == "force" else "", kind, row[kind]["largest"]["text"], row[kind]["way"])
           for row in answer["orders"] for kind in ("force", "couple")], heads=("  order", "", "largest", ""), right=(2,))
    said = answer["derived"]
    wrapped(f"Of all that goes up and down, {said['force_with']:.3f} of the force and {said['couple_with']:.3f} of the couple turn with "
            f"the crank; bobweights carry a share of {answer['share']:.3f} ({answer['share_authority']}).", "  ")
    heading("Motion of the piston")
    table([(f"  {row['text']}", row["words"]) for row in answer["motion"]], right=(0,))
    _used(answer)


@click.command("loads")
@click.argument("engine")
@in_units
@as_json
@with_shop
def loads_command(shop: Shop, engine: str, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Turning moment, and loads of crankpins and mains over the cycle.

    Mains are given twice: the crank hinged at each, and as one beam in elastic saddles.

    \b
    Example:
      tenths loads kestrel --units inch
    """
    from tenths.services.running_loads import running_loads  # noqa: PLC0415 - only here

    answer = running_loads(shop, engine, units or "")
    if json_:
        put_json(answer)
        return
    for words, rows in (("Full throttle", answer["open"]), ("Throttle closed", answer["closed"])):
        top = rows[-1]
        heading(f"{words}, {top['speed']['text']}")
        say(f"  torque {top['mean_torque']['text']}, {top['smallest_torque']['text']} to {top['largest_torque']['text']}; "
            f"peak pressure {top['peak_pressure']['text']}")
        table([(f"  {row['station']}", row["largest"]["text"], row["mean"]["text"]) for row in top["pins"]],
              heads=("  crankpin", "largest", "mean"), right=(1, 2))
        table([(f"  {row['station']}", row["hinged"]["text"], row["elastic"]["text"], row["unit_load"]["text"]) for row in top["mains"]],
              heads=("  main", "hinged", "as a beam", "per area, at most"), right=(1, 2, 3))
    now = answer["limits"][0]
    heading(f"Mean piston speed {now['mean_speed']['text']}, peak acceleration {now['acceleration']['text']}")
    table([(f"  {row['piston']}", row["mean_speed_to"]["text"], row["acceleration_to"]["text"], row["speed_to"]["text"])
           for row in answer["limits"]], heads=("  pistons bear", "speed", "acceleration", "so the crank"), right=(1, 2, 3))
    say("  common practice, no source")
    if answer["parts"]:
        heading("Piston pin and big end")
        table([(f"  {row['text']}", row["words"] + (f", {row['limit']}: {row['verdict']}" if row["limit"] else ""))
               for row in answer["parts"]], right=(0,))
    _used(answer)
    _notes(answer)


@click.command("balance")
@click.argument("engine")
@in_units
@as_json
@with_shop
def balance_command(shop: Shop, engine: str, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""The weighing sheet: what to take off which part, bobweights, corrections of the crank.

    \b
    Example:
      tenths balance kestrel
    """
    from tenths.services.running_balance import weighing_sheet  # noqa: PLC0415 - only here

    answer = weighing_sheet(shop, engine, units or "")
    if json_:
        put_json(answer)
        return
    columns = ("piston", "pin", "rings", "locks", "small_end", "big_end", "shells")
    heading("Weighed or stated [g]")
    table([(f"  {row['cylinder']}", *(row[c]["text"].partition(" ±")[0].removesuffix(" g") or "-" for c in columns))
           for row in answer["parts"]], heads=("  cyl", *(c.replace("_", " ") for c in columns)), right=tuple(range(1, 8)))
    heading("Take off, to the lightest")
    for part in answer["take_off"]:
        said = ", ".join(f"{row['cylinder']}: {row['take']['text']}" for row in part["rows"] if row["take"]["value"])
        wrapped(f"{part['words']}: {said or ('nothing' if part['complete'] else 'not all are weighed')}", "  ", "    ")
    if answer["match"]:
        match = answer["match"]
        wrapped("Pins dealt to pistons (piston: pin): " + ", ".join(f"{p['piston']}: {p['pin']}" for p in match["pairs"])
                + f". Spread {match['spread_then']['text']} instead of {match['spread_now']['text']}.", "  ", "    ")
    heading(f"Bobweights, reciprocating share {answer['share']:.3f} ({answer['share_authority']})")
    table([(f"  {row['pin']}", row["text"] or "missing: " + "; ".join(row["missing"])) for row in answer["bobweights"]])
    for row in answer["ends"]:
        say(f"  counterweights amount to {row['add']['text']} at {row['angle']:.0f} deg in the {row['plane']} throw's plane")
    _planes(answer["planes"])


def _planes(planes: list[Answer]) -> None:
    heading("Unbalance left, and what corrects it")
    for row in planes:
        at = f", heavy at {row['heavy_at']:.0f} deg, add at {row['add_at']:.0f} deg" if row["heavy_at"] is not None else ""
        wrapped(f"{row['plane']}: {row['left']['text'] or 'not measured'}{at}; allowed {row['allowed']['text'] or 'not known'}: "
                f"{row['verdict']}", "  ", "    ")
        for one in row["corrections"]:
            say(f"    hole of {one['diameter']['text']}: {one['hole']['text']} deep; or heavy slug opposite: {one['slug']['text']}")


@click.command("torsion")
@click.argument("engine")
@in_units
@as_json
@with_shop
def torsion_command(shop: Shop, engine: str, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Modes of the crank in torsion, critical speeds, swing and stress, damper.

    \b
    Example:
      tenths torsion kestrel
    """
    from tenths.services.running_torsion import torsion_answer  # noqa: PLC0415 - only here

    answer = torsion_answer(shop, engine, units or "")
    if json_:
        put_json(answer)
        return
    table([(f"  {row['mode']}", row["frequency"]["text"], f"{row['lower']['text']} to {row['upper']['text']}") for row in answer["modes"]],
          heads=("  mode", "frequency", "by either rule"), right=(1,))
    heading("Critical speeds, strongest first")
    table([(f"  {row['speed']['text']}", f"order {row['order']:g}", f"mode {row['mode']}", f"{row['strength']:.2f}",
            "above the highest speed" if row["above"] else "") for row in answer["criticals"]],
          heads=("  speed", "", "", "strength", ""), right=(3,))
    heading("Worst in the range")
    for name in ("without", "with"):
        if name in answer["over_speed"]:
            worst = answer["over_speed"][name]["worst"]
            say(f"  {name} damper: {worst['stress']['text']} in a journal at {worst['speed']['text']}, hub swings {worst['swing']}")
    say(f"  common practice, no source: up to {answer['over_speed']['stress_to']['text']}")
    best = answer["damper"].get("best")
    if best:
        wrapped(f"A ring of {answer['damper']['ring']['text']} does most when tuned to {best['tuned_to']['text']} "
                f"({best['stiffness']['text']}, damping ratio {best['loss']}).", "  ", "    ")
    _used(answer)
    table([(f"  {row['words']}", row["text"], row["origin"]) for row in answer["taken"]], right=(1,))
    _notes(answer)


@click.command("clear")
@click.argument("engine")
@in_units
@as_json
@with_shop
def clear_command(shop: Shop, engine: str, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Least clearance of outlines in motion over a full turn, and where it is.

    \b
    Example:
      tenths clear kestrel
    """
    from tenths.services.clearing import clearances  # noqa: PLC0415 - only here

    answer = clearances(shop, engine, units or "")
    if json_:
        put_json(answer)
        return
    if not answer["pairs"]:
        say("No outlines yet that could touch: 'tenths outline' draws them.")
        return
    for row in answer["pairs"]:
        wrapped(row["words"], "  ", "    ")
        where = row["why"] or f"at {row['angle']:g} deg, {row['along']['text']} up, {row['across']['text']} across"
        wrapped(f"{row['clearance']['text']} ({where}); at least {row['least']['text']}: {row['verdict']}", "      ", "      ")
    _notes(answer)
