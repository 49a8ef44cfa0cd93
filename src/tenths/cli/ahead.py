"""Commands about what lies ahead: what next, when done, several engines."""

import click

from tenths.cli.show import as_json, heading, put_json, say, table, with_shop, wrapped
from tenths.services.questions import Answer
from tenths.services.shop import Shop


@click.group("ahead")
def ahead_command() -> None:
    """What can be done now and by whom, when an engine will be done, how engines share the shop."""


@ahead_command.command("next")
@click.argument("engine")
@click.option("--limit", default=0, type=click.IntRange(0), help="At most so many steps.")
@as_json
@with_shop
def next_(shop: Shop, engine: str, limit: int, json_: bool) -> None:  # noqa: FBT001 - click
    r"""What can be done now, ordered by what it frees; what is missing and what that holds up.

    \b
    Example:
      tenths ahead next marigold
    """
    from tenths.services import ahead  # noqa: PLC0415 - only here

    answer = ahead.next_up(shop, engine, limit=limit)
    if json_:
        put_json(answer)
        return
    say(f"{answer['name']}: {answer['done']} of {answer['total']} steps done")
    heading("can be done now")
    table([("  " + r["step"], f"{r['way']:.1f} h", str(len(r["opens"])), r["words"]) for r in answer["offered"]],
          heads=("  step", "to the end", "opens", "what"), right=(1, 2))
    for r in answer["people"]:
        could = f"{r['next']} ({r['why']})" if r["next"] else "nothing free"
        wrapped(f"{r['person']}: " + (f"at {', '.join(r['at'])}" if r["at"] else could), "  ")
    for r in answer["to_check"]:
        wrapped(f"{r['step']}: {r['why']}", "  ? ")
    for r in answer["missing"]:
        wrapped(f"{r['part']} ({r['words']}): {r['where']}" + (f", promised {r['promised']}" if r["promised"] else "")
                + f"; holds up {len(r['holds_up'])} steps", "  ! ")
    for r in [*answer["checks"], *answer["tools"]]:
        wrapped(f"{r['words']}; holds up {', '.join(r['steps'])}", "  ! ")


@ahead_command.command("finish")
@click.argument("engine")
@click.option("--people", default=0, type=click.IntRange(0, 50), help="How many work at it; else up to two.")
@click.option("--by", default="", help="Tells the chance to be done by this day.")
@as_json
@with_shop
def finish(shop: Shop, engine: str, people: int, by: str, json_: bool) -> None:  # noqa: FBT001 - click
    r"""When an engine will be done: early, likely, late, and what each missing part costs.

    \b
    Example:
      tenths ahead finish marigold --by 2026-12-24
    """
    from tenths.services import ahead  # noqa: PLC0415 - only here

    answer = ahead.finish(shop, engine, people=people, by=by)
    if json_:
        put_json(answer)
        return
    say(f"{answer['steps']} steps, about {answer['hours']:.0f} h left, {answer['people']} at it")
    table([("one in ten by", answer["early"]), ("even chance by", answer["likely"]), ("nine in ten by", answer["late"])])
    if answer["chance"] is not None:
        say(f"done by {answer['due']}: {answer['chance']:.0%}")
    _spread(answer["spread"])
    for part in answer["parts"]:
        say(f"  {part['part']} costs {part['days']:.1f} working days, here about {part['arrives'][1]}")


def _spread(rows: list[Answer]) -> None:
    """A bar for each day, as long as the share of fates that end on it; days of less than one in a hundred are left out."""
    shown = [row for row in rows if row["share"] >= 0.01]
    longest = max((row["share"] for row in shown), default=1.0)
    for row in shown:
        say(f"  {row['day']}  {'█' * max(1, round(40 * row['share'] / longest)):<40}  {row['share']:4.0%}")


@ahead_command.command("late")
@click.argument("engine")
@click.argument("part")
@click.argument("days", type=click.IntRange(1, 365))
@as_json
@with_shop
def late(shop: Shop, engine: str, part: str, days: int, json_: bool) -> None:  # noqa: FBT001 - click
    r"""What it does to the finish when a missing part comes so many days later.

    \b
    Example:
      tenths ahead late marigold thrust-m2 14
    """
    from tenths.services import ahead  # noqa: PLC0415 - only here

    answer = ahead.if_late(shop, engine, part, days)
    if json_:
        put_json(answer)
        return
    say(f"{part} {days} days later: the engine {answer['shift']:.1f} working days later "
        f"(even chance by {answer['after']['likely']} instead of {answer['before']['likely']})")
    say(f"it holds up {len(answer['holds_up'])} steps")


@ahead_command.command("plan")
@click.argument("engines", nargs=-1)
@click.option("--people", default=0, type=click.IntRange(0, 50), help="How many work; else all of the shop.")
@click.option("--time-limit", default=20.0, type=click.FloatRange(0, 600), help="Of the integer program [s]; 0 leaves it out.")
@as_json
@with_shop
def plan(shop: Shop, engines: tuple[str, ...], people: int, time_limit: float, json_: bool) -> None:  # noqa: FBT001 - click
    r"""Several engines that share people, hone, bay and dyno: who does what when, and why.

    \b
    Example:
      tenths ahead plan marigold kestrel --people 2 --time-limit 0
    """
    from tenths.services import ahead  # noqa: PLC0415 - only here

    answer = ahead.plan_shop(shop, engines, people=people, time_limit=time_limit)
    if json_:
        put_json(answer)
        return
    table([(r["from"], r["engine"], r["person"], f"{r['hours']:.1f} h", r["place"], f"{r['steps'][0]}"
            + (f" and {len(r['steps']) - 1} more" if len(r["steps"]) > 1 else "") + f": {r['why']}") for r in answer["rows"]],
          heads=("from", "engine", "who", "hours", "place", "what, and why then"), right=(3,))
    heading("done")
    table([(f["engine"], f["day"], f"promised {f['due']}" if f["due"] else "", f"{f['late']} days late" if f["late"] else "")
           for f in answer["finishes"]])
    say(f"No plan makes the worst of them better by more than {answer['gap']:.1%} of the whole ({answer['solver']}).")


@ahead_command.command("hours")
@click.option("--who", multiple=True, help="A person of the shop; may be given more than once.")
@click.option("--hours", default="8", help="Hours of a working day.")
@click.option("--days", default="Mon,Tue,Wed,Thu,Fri", help="Working days.")
@click.option("--closed", multiple=True, help="A day on which the shop is closed, year first.")
@click.option("--place", "places", multiple=True, metavar="PLACE=COUNT", help="How many there are of a place, such as hone=2.")
@with_shop
def hours(shop: Shop, who: tuple[str, ...], hours: str, days: str, closed: tuple[str, ...], places: tuple[str, ...]) -> None:
    r"""Say when and by whom the shop works, and how many there are of a place.

    \b
    Example:
      tenths ahead hours --who "Ines Vale" --who "Tom Arden" --hours 7.5 --place hone=1
    """
    from tenths.logbook.money_bodies import HoursKept  # noqa: PLC0415 - only here
    from tenths.services import sentences  # noqa: PLC0415 - only here
    from tenths.services.shop import SHOP  # noqa: PLC0415 - only here

    counts: dict[str, int] = {}
    for text in places:
        name, _, count = text.partition("=")
        if not name or not count.isdigit():
            raise click.UsageError(f"--place: {text!r} is not taken; give it as hone=2")
        counts[name] = int(count)
    body = HoursKept(people=who, hours=hours, days=tuple(d.strip() for d in days.split(",")), closed=closed, places=counts)
    say(sentences.sentence(shop.append(SHOP, body)[0]))


@ahead_command.command("due")
@click.argument("engine")
@click.argument("day")
@click.option("--why", default="", help="Why it is so, or changed.")
@with_shop
def due(shop: Shop, engine: str, day: str, why: str) -> None:
    r"""Say for which day an engine is promised to its customer.

    \b
    Example:
      tenths ahead due marigold 2026-12-18
    """
    from tenths.logbook.money_bodies import EngineDue  # noqa: PLC0415 - only here
    from tenths.services import sentences  # noqa: PLC0415 - only here

    say(sentences.sentence(shop.append(engine, EngineDue(day=day, why=why))[0]))
