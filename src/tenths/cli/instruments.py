"""`tenths instruments`: the records of the shop's instruments, and their certificates."""

from pathlib import Path
from typing import Any

import click

from tenths.cli.show import as_json, heading, in_units, put_json, say, table, with_shop, wrapped
from tenths.errors import BadInput
from tenths.services.shop import Shop

Answer = dict[str, Any]


@click.group("instruments")
def instruments_command() -> None:
    r"""The records of the shop's instruments: how good each is, until when, and by what right.

    \b
    Examples:
      tenths instruments list
      tenths instruments show mic-2-3
      tenths instruments certify mic-2-3 --day 2026-01-12 --from mic-2-3.csv
    """


@instruments_command.command("list")
@in_units
@as_json
@with_shop
def list_(shop: Shop, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""All instruments, what is overdue first.

    \b
    Example:
      tenths instruments list
    """
    from tenths.services.instruments import instruments  # noqa: PLC0415 - only here

    rows = instruments(shop, units or "")
    if json_:
        put_json(rows)
        return
    rows.sort(key=lambda r: r["state"] != "overdue")
    table([(r["instrument"], r["limit_of_error"], r["due"], r["state"] if r["state"] != "in order" else "", r["name"]) for r in rows],
          heads=("id", "limit", "due", "", "name"))


@instruments_command.command("show")
@click.argument("name")
@in_units
@as_json
@with_shop
def show(shop: Shop, name: str, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""The record of one instrument: card, certificates, what it was set to and used on.

    \b
    Example:
      tenths instruments show bore-gauge-s
    """
    from tenths.services.instruments import instrument_record  # noqa: PLC0415 - only here

    row = instrument_record(shop, name, units or "")
    if json_:
        put_json(row)
        return
    say(f"{row['name']} ({row['instrument']}), {row['kind'].replace('-', ' ')}")
    table([("  " + words, row[key]) for words, key in (
        ("state", "state"), ("range", "range"), ("reads to", "resolution"), ("limit of error", "limit_of_error"),
        ("repeats to", "repeatability"), ("by", "basis"), ("due", "due"), ("serial", "serial"), ("hand", "hand"),
        ("usually set from", "set_from")) if row[key]])
    for certificate in row["certificates"]:
        _certificate(certificate)
    if row["settings"]:
        heading("Settings")
        table([(s["at"][:16], s["engine"], f"{s['instrument']} from {s['master']}", s["size"]) for s in row["settings"][:10]],
              heads=("when", "engine", "what", "size"))
    if row["used_in"]:
        heading("Used on")
        table([(u["engine"], str(u["readings"]), u["last"][:10]) for u in row["used_in"]], heads=("engine", "readings", "last"), right=(1,))


def _certificate(row: Answer) -> None:
    heading(f"Certificate {row['certificate'] or 'without number'}, {row['day']}" + (f", due {row['due']}" if row["due"] else ""))
    unit = row["small_unit"]
    table([(p["size"], p["correction"], f"{p['u'] * 2:.3g}") for p in row["points"]],
          heads=("at", f"add, {unit}", f"U (k = 2), {unit}"), right=(0, 1, 2))


@instruments_command.command("add")
@click.argument("name")
@click.argument("kind", required=False, default="")
@click.option("--name", "words", default="", help="What the shop calls it.")
@click.option("--range-from", default="", help="Lower end of its range.")
@click.option("--range-to", default="", help="Upper end of its range.")
@click.option("--resolution", default="", help="Smallest step that is read.")
@click.option("--limit", "limit_of_error", default="", help="Maker's limit of error, half-width.")
@click.option("--repeatability", default="", help="Standard deviation of one reading.")
@click.option("--hand", default="", help="Whose repeatability that is.")
@click.option("--set-from", default="", metavar="INSTRUMENT", help="Master that it is usually set from.")
@click.option("--serial", default="", help="Serial number.")
@click.option("--due", default="", help="Date from which its calibration is overdue, as 2027-01-31.")
@with_shop
def add(shop: Shop, name: str, kind: str, words: str, **said: str) -> None:
    r"""List an instrument by the template of its KIND, or change what stands on its card.

    What is not given is as usual for its kind, or stays as it was.

    \b
    Examples:
      tenths instruments add mic-4-5 outside-micrometer --range-from "4 in" \
        --range-to "5 in" --limit "1.5 tenths"
      tenths instruments add mic-2-3 --hand "Ines Vale"
    """
    from tenths.services.instruments import update_instrument  # noqa: PLC0415 - only here

    given = {key: value for key, value in {"kind": kind, "name": words, **said}.items() if value}
    update_instrument(shop, name, **given)
    say(f"{name} listed")


@instruments_command.command("certify")
@click.argument("name")
@click.option("--day", required=True, help="Day of the certificate, as 2026-01-12.")
@click.option("--number", default="", help="Number of the certificate.")
@click.option("--by", default="", help="Who calibrated it.")
@click.option("--due", default="", help="Day on which the next is due.")
@click.option("--coverage", default="2", show_default=True, help="Factor k of its uncertainties.")
@click.option("--point", "points", nargs=3, multiple=True, metavar="SIZE CORRECTION U",
              help="A line of it: size, what to add to a reading, U.")
@click.option("--from", "path", type=click.Path(path_type=Path), help="CSV or XLSX with size, correction (or error), uncertainty.")
@with_shop
def certify(shop: Shop, name: str, day: str, number: str, by: str, due: str, coverage: str, points: tuple[tuple[str, str, str], ...],
            path: Path | None) -> None:
    r"""Take a calibration certificate into the record of an instrument.

    Readings are then corrected by it, and its uncertainty takes the place of the maker's limit of error.

    \b
    Examples:
      tenths instruments certify mic-3-4 --day 2026-01-12 --number "C 118" \
        --due 2027-01-31 --point "3.0 in" 0 "0.5 tenths" \
        --point "4.0 in" "-0.3 tenths" "0.6 tenths"
      tenths instruments certify mic-2-3 --day 2026-01-12 --from mic-2-3.csv
    """
    from tenths.logbook.bodies import CertificatePoint, InstrumentCertified  # noqa: PLC0415 - only here
    from tenths.services.instruments import certify, points_of_table  # noqa: PLC0415 - only here

    lines = [CertificatePoint(size=size, correction=_zero(correction, u), uncertainty=u) for size, correction, u in points]
    if path is not None:
        lines += points_of_table(_content(path), path.name)
    if not lines:
        raise click.UsageError("give --point for each line of the certificate, or --from FILE")
    certify(shop, InstrumentCertified(instrument=name, day=day, points=tuple(lines), certificate=number, by=by, due=due, coverage=coverage))
    say(f"{name}: certificate of {day}, {len(lines)} point{'' if len(lines) == 1 else 's'}")


def _zero(correction: str, uncertainty: str) -> str:
    """No correction needs no unit of its own: it is in that of the uncertainty."""
    unit = uncertainty.lstrip("+-0123456789., ")
    return f"0 {unit}".strip() if correction.strip() in {"0", "0.0"} else correction


def _content(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise BadInput(f"file {path}: cannot be read: {error.strerror}") from None


@instruments_command.command("kinds")
@in_units
@as_json
@with_shop
def kinds(shop: Shop, units: str | None, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""The kinds that an instrument can be begun from, each with what is usual for it.

    \b
    Example:
      tenths instruments kinds
    """
    from tenths.services.instruments import templates  # noqa: PLC0415 - only here

    del shop
    rows = templates(units or "inch")
    if json_:
        put_json(rows)
        return
    table([(r["kind"], r["resolution"], r["limit_of_error"], r["repeatability"]) for r in rows],
          heads=("kind", "reads to", "limit of error", "repeats to"))
    say()
    wrapped("All values: common practice, no source. A certificate or a study of the shop's own takes their place.")
