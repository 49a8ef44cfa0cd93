"""Commands about money and time: rates, quotes, hours, bills."""

from pathlib import Path

import click

from tenths.cli.show import as_json, heading, put_json, say, table, with_shop
from tenths.services.questions import Answer
from tenths.services.shop import Shop

PDF = click.option("--pdf", type=click.Path(dir_okay=False, writable=True, path_type=Path), help="Write it as PDF.")


@click.group("money")
def money_command() -> None:
    """Quotes, hours, bills, and a quote against what it became. Not bookkeeping: 'tenths money csv' hands on to that."""


@money_command.command("rates")
@click.argument("hour")
@click.option("--stage", "stages", multiple=True, metavar="STAGE=PRICE", help="Another price for a stage, such as machine=110.")
@click.option("--parts", default="", help="Added to the cost of parts, in percent.")
@click.option("--outside", default="", help="Added to the cost of work outside, in percent.")
@click.option("--tax", "taxes", multiple=True, metavar="NAME=SHARE", help="A tax and its share in percent, as it applies to you.")
@click.option("--currency", default="", help="Name of the money.")
@click.option("--terms", default="", help="Words below every quote and bill.")
@with_shop
def rates(shop: Shop, hour: str, stages: tuple[str, ...], parts: str, outside: str, taxes: tuple[str, ...], currency: str,
          terms: str) -> None:
    r"""Say what an hour costs, and what is added to parts, outside work and for taxes.

    \b
    Example:
      tenths money rates 92 --stage machine=110 --parts 15 --tax "sales tax=8.1"
    """
    from tenths.logbook.money_bodies import RatesKept, Tax  # noqa: PLC0415 - only here
    from tenths.services import money  # noqa: PLC0415 - only here

    pairs = {text: (text.rpartition("=")[0], text.rpartition("=")[2]) for text in (*stages, *taxes)}
    if wrong := [text for text, (name, value) in pairs.items() if not name or not value]:
        raise click.UsageError(f"{wrong[0]!r} is not taken; give it as NAME=VALUE")
    body = RatesKept(hour=hour, stages=dict(pairs[t] for t in stages), parts_margin=parts, outside_margin=outside, currency=currency,
                     terms=terms, taxes=tuple(Tax(name=pairs[t][0], share=pairs[t][1]) for t in taxes))
    money.keep_rates(shop, body)
    say(f"an hour costs {hour} {currency}".rstrip())


def _paper(answer: Answer) -> None:
    table([(x["kind"], x["words"], x["quantity"], x["each"], x["total"]) for x in answer["lines"]],
          heads=("kind", "what", "quantity", "each", "total"), right=(2, 3, 4))
    table([("net", answer["net"]), *((t["name"], t["amount"]) for t in answer["taxes"]), (f"in all {answer['currency']}", answer["total"])],
          right=(1,))


@money_command.command("quote")
@click.argument("engine")
@click.argument("number", required=False)
@click.option("--valid", default="", help="Day until which it is valid.")
@click.option("--words", default="", help="Words below it.")
@click.option("--show", is_flag=True, help="Show one that was made, make none.")
@PDF
@as_json
@with_shop
def quote(shop: Shop, engine: str, number: str | None, valid: str, words: str, show: bool, pdf: Path | None, json_: bool) -> None:  # noqa: FBT001 - click
    """Make a quote from plan, parts and rates under a NUMBER; without one, show what it would be."""
    from tenths.services import money  # noqa: PLC0415 - only here

    if number and not show:
        money.make_quote(shop, engine, number, valid=valid, words=words)
    answer = money.paper(shop, engine, "quote", number or "") if number or show or pdf else money.draft_quote(shop, engine)
    if pdf:
        from tenths.record.bill import quote_pdf  # noqa: PLC0415 - only here
        from tenths.record.typeset import write_whole  # noqa: PLC0415 - only here

        write_whole(pdf, quote_pdf(shop, engine, number or ""))
    if json_:
        put_json(answer)
    else:
        _paper(answer)


@money_command.command("invoice")
@click.argument("engine")
@click.argument("number", required=False)
@click.option("--as-quoted", is_flag=True, help="The lines of the quote, not what the job became.")
@click.option("--due", default="", help="Day until which it is to be paid.")
@click.option("--words", default="", help="Words below it.")
@click.option("--show", is_flag=True, help="Show one that was made, make none.")
@PDF
@as_json
@with_shop
def invoice(shop: Shop, engine: str, number: str | None, as_quoted: bool, due: str, words: str, show: bool, pdf: Path | None,  # noqa: FBT001 - click
            json_: bool) -> None:  # noqa: FBT001 - click
    """Make a bill under a NUMBER: what the job became, or as quoted; without one, show the last."""
    from tenths.services import money  # noqa: PLC0415 - only here

    if number and not show:
        money.make_invoice(shop, engine, number, as_quoted=as_quoted, due=due, words=words)
    answer = money.paper(shop, engine, "invoice", number or "")
    if pdf:
        from tenths.record.bill import invoice_pdf  # noqa: PLC0415 - only here
        from tenths.record.typeset import write_whole  # noqa: PLC0415 - only here

        write_whole(pdf, invoice_pdf(shop, engine, number or ""))
    if json_:
        put_json(answer)
    else:
        _paper(answer)


@money_command.command("hours")
@click.argument("engine")
@as_json
@with_shop
def hours(shop: Shop, engine: str, json_: bool) -> None:  # noqa: FBT001 - click
    r"""Hours of an engine by stage and person, beside what the plan takes as likely.

    \b
    Example:
      tenths money hours marigold
    """
    from tenths.services import money  # noqa: PLC0415 - only here

    answer = money.hours(shop, engine)
    if json_:
        put_json(answer)
        return
    table([(r["stage"], f"{r['planned']:.2f}", f"{r['spent']:.2f}") for r in answer["stages"]], heads=("stage", "planned", "spent"),
          right=(1, 2))
    if answer["people"]:
        heading("by person")
        table([("  " + r["person"], f"{r['spent']:.2f}") for r in answer["people"]], right=(1,))


@money_command.command("book")
@click.argument("engine")
@click.argument("operation")
@click.argument("hours")
@click.option("--who", default="", help="Whose hours; else yours.")
@click.option("--day", default="", help="Which day; else today.")
@click.option("--note", default="", help="Anything else.")
@with_shop
def book(shop: Shop, engine: str, operation: str, hours: str, who: str, day: str, note: str) -> None:
    r"""Write hours down afterwards, for a stage or a step; below zero they take back.

    \b
    Example:
      tenths money book marigold machine 1.25 --note "forgot to start"
    """
    from tenths.logbook.money_bodies import HoursBooked  # noqa: PLC0415 - only here
    from tenths.services import money, sentences  # noqa: PLC0415 - only here

    say(sentences.sentence(money.book_hours(shop, engine, HoursBooked(operation=operation, hours=hours, who=who, day=day, note=note))))


@money_command.command("compare")
@click.argument("engine")
@as_json
@with_shop
def compare(shop: Shop, engine: str, json_: bool) -> None:  # noqa: FBT001 - click
    r"""The quote against what the job became.

    \b
    Example:
      tenths money compare marigold
    """
    from tenths.services import money  # noqa: PLC0415 - only here

    answer = money.quote_against_actual(shop, engine)
    if json_:
        put_json(answer)
        return
    shown = ("kind", "words", "quoted", "actual", "quoted_money", "actual_money", "difference")
    table([tuple(r[name] for name in shown) for r in answer["rows"]],
          heads=("kind", "what", "quoted", "became", "quoted", "became", "more"), right=(2, 3, 4, 5, 6))
    say(f"quoted {answer['quoted']}, became {answer['actual']}, difference {answer['difference']} {answer['currency']}".rstrip())


@money_command.command("csv")
@click.argument("file", type=click.Path(dir_okay=False, writable=True, path_type=Path))
@click.argument("engines", nargs=-1)
@with_shop
def csv_(shop: Shop, file: Path, engines: tuple[str, ...]) -> None:
    r"""Write all lines of quotes and bills, and all hours, as CSV.

    \b
    Example:
      tenths money csv books.csv
    """
    from tenths.services import money  # noqa: PLC0415 - only here

    file.write_text(money.money_csv(shop, engines), "utf-8")
    say(f"{file} written")
