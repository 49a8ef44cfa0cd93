"""`tenths gauge` reads an instrument on a serial line into the field that has the focus."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tenths.cli.bench import PORT, shop_of_command
from tenths.errors import Refused, TenthsError
from tenths.services.access import Access

if TYPE_CHECKING:
    from tenths.bench.gauge import Line


@click.command("gauge")
@click.argument("port", required=False)
@click.option("--baud", type=int, default=9600, show_default=True)
@click.option("--framing", default="8N1", show_default=True, help="Data bits, parity (N, E, O), stop bits.")
@click.option("--pattern", default="number", show_default=True,
              help="What a line looks like: the name of a usual pattern (--patterns shows them), or a regular expression "
                   "for the whole line with a group named value and perhaps one named unit.")
@click.option("--patterns", "show_patterns", is_flag=True, help="Show the usual patterns.")
@click.option("--unit", default="", help="Unit of lines that say none.")
@click.option("--deviation", is_flag=True, help="The instrument shows deviations from what it was set to.")
@click.option("--device", default="", help="Name of the page or device that gets the values; needed when several are open.")
@click.option("--bench", "address", default=f"http://localhost:{PORT}", show_default=True, help="Where the bench is served.")
@click.option("--count", type=int, default=0, help="Stop after so many values.", hidden=True)
def gauge(port: str | None, baud: int, framing: str, pattern: str, unit: str, device: str, address: str, count: int, *,
          show_patterns: bool, deviation: bool) -> None:
    """Read an instrument on a serial PORT; each value goes to the field that has the focus on one device."""
    from tenths.bench.gauge import PATTERNS, Line, reader_for  # noqa: PLC0415 - only this command reads

    if show_patterns:
        for name, (_, words) in PATTERNS.items():
            click.echo(f"{name:22} {words}")
        return
    if not port:
        raise click.UsageError("PORT is missing: the serial line, like /dev/ttyUSB0 or COM3")
    reader = reader_for(pattern, unit=unit, deviation=deviation)
    line = Line(address, *_token())
    sent = 0
    for text in _lines(port, baud, framing):
        value = reader.text(text)
        if value is None:
            click.echo(f"not understood: {text[:60]!r}", err=True)
            continue
        try:
            click.echo(f"{value}  ->  {_send(line, value, device, port)}")
        except TenthsError as error:
            click.echo(f"{value}  not sent: {error}", err=True)
        sent += 1
        if count and sent >= count:
            return


def _token() -> tuple[str, Path | None]:
    """What this machine is known by at the bench, from the shop's own file; and the bench's certificate, if it has one."""
    from tenths.bench.guard import Seals  # noqa: PLC0415 - only this command asks

    shop = shop_of_command()
    access = Access(shop.folder, clock=shop.clock)
    try:
        certificate = shop.folder / "tls" / "certificate.pem"
        return Seals(access).gauge(), certificate if certificate.exists() else None
    finally:
        access.close()
        shop.logbook.close()


def _send(line: "Line", value: str, device: str, port: str) -> str:
    from tenths.bench.gauge import page_of  # noqa: PLC0415 - only this command sends

    page = page_of(line.ask("/api/pages"), device)
    took = line.ask("/api/gauge", {"page": page["page"], "text": value, "gauge": Path(port).name})["delivered"]
    if not took:
        raise Refused("the page is not there any more")
    return page["name"] or page["device"] or page["page"]


def _lines(port: str, baud: int, framing: str) -> Iterator[str]:
    import serial  # noqa: PLC0415 - only this command reads

    from tenths.bench.gauge import lines_of  # noqa: PLC0415 - the same

    if len(framing) != 3 or framing[0] not in "5678" or framing[1] not in "NEO" or framing[2] not in "12":
        raise click.UsageError(f"--framing {framing!r}: like 8N1 or 7E1")
    try:
        opened = serial.Serial(port, baud, int(framing[0]), framing[1], int(framing[2]), timeout=0.5)
    except (serial.SerialException, ValueError, OSError) as error:
        raise Refused(f"{port}: the line cannot be opened: {error}") from None
    click.echo(f"Reading {port}; Ctrl-C ends it.")
    with opened:
        try:
            yield from (text for text in lines_of(opened) if text)
        except serial.SerialException as error:
            raise Refused(f"{port}: the line broke: {error}") from None
