"""`tenths risk`: the customer's and the builder's risk over a run of engines."""

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.services.shop import Shop


@click.command("risk")
@click.argument("characteristic")
@click.option("--engine", default="", help="Whose limits, uncertainty and house rules hold.")
@click.option("--run", type=int, default=1, show_default=True, help="How many engines.")
@click.option("--places", type=int, default=0, help="Places on each engine; else as many as the engine has.")
@click.option("--mean", default="", help="Middle of what is made; else from the shop's history.")
@click.option("--deviation", default="", help="Its standard deviation; else from the shop's history.")
@click.option("--uncertainty", default="", help="Standard uncertainty of one measurement; else the engine's findings.")
@click.option("--lower", default="", help="Limit; else the engine's.")
@click.option("--upper", default="", help="Limit; else the engine's.")
@in_units
@as_json
@with_shop
def risk(shop: Shop, characteristic: str, engine: str, run: int, places: int, mean: str, deviation: str, uncertainty: str, lower: str,
         upper: str, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""How often a bad place would pass, and a good one be refused, over a run of engines.

    A normal spread of what is made and independent errors of measurement are taken. What is not given comes from the
    engine named and from all engines of the shop.

    \b
    Examples:
      tenths risk main-oil-clearance --engine marigold --run 40
      tenths risk bore-taper --run 100 --places 8 --mean "3 tenths" \
        --deviation "1 tenths" --uncertainty "0.6 tenths" --upper "5 tenths"
    """
    from tenths.services.risks import Asked, amount, risk_answer, share  # noqa: PLC0415 - only here

    answer = risk_answer(shop, Asked(characteristic, engine, run, places, mean, deviation, uncertainty, lower, upper, units or ""))
    if json_:
        put_json(answer)
        return
    heading(f"{answer['words'].capitalize()}, {answer['count']} places")
    for sentence in answer["statement"]:
        wrapped(sentence)
    say()
    texts = answer["text"]
    table([(name, texts[name], answer["sources"].get(name, "-")) for name in ("mean", "deviation", "uncertainty", "lower", "upper")
           if texts[name]], heads=("taken", "", "from"))
    say()
    table([(r["words"], amount(r["expected_bad_passed"]), amount(r["expected_good_refused"]), share(r["at_least_one"]))
           for r in answer["rules"]], heads=("over the run", "bad pass", "good refused", "one or more bad"), right=(1, 2, 3))
