"""Commands that carry: record, import, export, verify."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tenths.cli.show import as_json, in_units, progress, put_json, say, table, with_shop, wrapped
from tenths.errors import BadInput
from tenths.services.shop import Shop

if TYPE_CHECKING:
    from tenths.services.transfer import Preview


@click.command("record")
@click.argument("engine")
@click.option("--out", type=click.Path(path_type=Path), help="Where to write it; else ENGINE.pdf here.")
@click.option("--paper", type=click.Choice(["A4", "Letter"]), default="A4", show_default=True)
@in_units
@with_shop
def record_command(shop: Shop, engine: str, out: Path | None, paper: str, units: str | None) -> None:
    r"""Print the record of an engine as PDF.

    \b
    Examples:
      tenths record marigold
      tenths record kestrel --units inch --paper Letter --out kestrel.pdf
    """
    from tenths.record.report import write_record  # noqa: PLC0415 - only here

    progress("setting the record ...")
    path = write_record(shop, engine, out or Path(f"{engine}.pdf"), paper="Letter" if paper == "Letter" else "A4", units=units)
    say(f"written: {path}")


@click.command("import")
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--engine", help="The engine that the readings of a CSV or XLSX belong to.")
@click.option("--dry-run", is_flag=True, help="Only show what would be taken, and what refused and why.")
@click.option("--yes", is_flag=True, help="Take the good rows without asking.")
@click.option("--all-or-nothing", is_flag=True, help="Take nothing when a row is refused.")
@click.option("--new-only", is_flag=True, help="Leave out rows that say what the log says already.")
@as_json
@with_shop
def import_command(shop: Shop, path: Path, engine: str | None, dry_run: bool, yes: bool, all_or_nothing: bool,  # noqa: FBT001
                   new_only: bool, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Take readings from CSV or XLSX, or an engine from a bundle (zip).

    A sheet of readings names its columns in a line of its own: station, feature and value, and where they are known
    place, unit, instrument, setting, temperature, person, at and note, in any order. What is refused is said row by row
    before anything is taken. The same file taken twice doubles nothing; with --json nothing is taken without --yes.

    \b
    Examples:
      tenths import readings.csv --engine marigold --dry-run
      tenths import readings.csv --engine marigold --yes
      tenths import marigold.zip
    """
    from tenths.services import transfer  # noqa: PLC0415 - only here

    if path.suffix.lower() == ".zip":
        name, added = transfer.import_engine(shop, path)
        say(f"{name}: {added} entries taken; the log verifies")
        return
    if not engine:
        raise click.UsageError("give --engine for a sheet of readings")
    progress("reading the sheet ...")
    preview = transfer.preview_readings(shop, engine, path)
    if json_:
        put_json(preview.as_answer())
    else:
        _show_preview(preview, new_only=new_only)
    if preview.refused and all_or_nothing:
        raise BadInput(f"file {path}: {len(preview.refused)} rows are refused, and --all-or-nothing is given: nothing was taken")
    rows = [row for row in preview.taken if not (new_only and row.remark)]
    if dry_run or not rows or not (yes or _agreed(len(rows), asked=not json_)):
        return
    progress("taking the readings ...")
    say(f"{transfer.take_readings(shop, engine, preview, new_only=new_only)} readings taken", err=json_)


def _show_preview(preview: "Preview", *, new_only: bool) -> None:
    say(f"{len(preview.taken)} readings can be taken, {len(preview.refused)} are refused"
        + (f", {len(preview.before)} were taken from this file before" if preview.before else ""))
    for remark in preview.remarks:
        wrapped(remark, "  ! ")
    if preview.alike:
        left_out = "left out" if new_only else "--new-only leaves them out"
        wrapped(f"{len(preview.alike)} say what the log says already ({left_out}); the first is row {preview.alike[0].number}, "
                f"which {preview.alike[0].remark}", "  ! ")
    for row in preview.asked:
        wrapped(f"row {row.number}, {row.says}: {row.asked} It is taken as it stands.", "  ? ", "    ")
    table([(f"  row {row.number}", row.why) for row in preview.refused])


def _agreed(count: int, *, asked: bool) -> bool:
    """Whether a person says yes; where nobody can be asked, nothing is taken without --yes."""
    if not asked:
        return False
    if not sys.stdin.isatty():
        raise BadInput("nobody can be asked here: nothing was taken; give --yes to take the good rows")
    agreed = click.confirm(f"Take {count} readings?", default=True)
    if not agreed:
        say("Nothing was taken.")
    return agreed


@click.command("export")
@click.argument("engine")
@click.argument("path", type=click.Path(path_type=Path), required=False)
@with_shop
def export_command(shop: Shop, engine: str, path: Path | None) -> None:
    r"""Write an engine with its whole log and files as a bundle that verifies by itself.

    \b
    Example:
      tenths export marigold
    """
    from tenths.services import transfer  # noqa: PLC0415 - only here

    out = transfer.export_engine(shop, engine, path or Path(f"{engine}.zip"))
    say(f"written: {out}")


@click.command("verify")
@click.argument("path", type=click.Path(path_type=Path), required=False)
@click.option("--hash", "known", default="", help="The hash on a printed record: the bundle must hold that entry.")
@as_json
@with_shop
def verify_command(shop: Shop, path: Path | None, known: str, json_: bool) -> None:  # noqa: FBT001 - click passes flags so
    r"""Check a bundle, or the shop's whole logbook, for damage.

    \b
    Examples:
      tenths verify
      tenths verify marigold.zip --hash 6a9e46eb
    """
    from tenths.services import transfer  # noqa: PLC0415 - only here

    answer = transfer.verify_shop(shop) if path is None else transfer.verify_bundle(path, known)
    if json_:
        put_json(answer)
        return
    table([(row["engine"], f"{row['entries']} entries", row["hash"][:12]) for row in answer])
    say("Nothing is damaged.")
