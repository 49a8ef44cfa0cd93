"""Instruments on a serial line: what a line of theirs says, and sending its value to an open page."""

import json
import re
import ssl
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.error import HTTPError, URLError
from urllib.request import HTTPSHandler, ProxyHandler, Request, build_opener

from tenths.errors import BadInput, Refused

LONGEST_LINE = 200
_NUMBER = r"(?P<value>[+-]?\s?(?:\d+(?:[.,]\d*)?|[.,]\d+))"
_UNIT = r"(?P<unit>mm|µm|um|in|inch|\"|deg|°|g|kg|cc|psi|bar|N ?m)?"
PATTERNS: Mapping[str, tuple[str, str]] = {
    "number": (rf"\s*{_NUMBER}\s*{_UNIT}\s*", "a number, with its unit or without:  +0.0012 in"),
    "channel-number": (rf"\s*\d{{1,2}}[A-Z]\s*{_NUMBER}\s*{_UNIT}\s*", "digits and a letter before it:  01A+00012.345"),
    "name-number": (rf"\s*[A-Za-z][\w ]*[:=]\s*{_NUMBER}\s*{_UNIT}\s*", "a name before it:  X = 12.345 mm"),
    "number-among-words": (rf".*?(?<![\w.,]){_NUMBER}\s*{_UNIT}(?![\w.,]).*", "the first number in the line"),
}
UNITS = {"um": "µm", "inch": "in", '"': "in", "°": "deg"}


@dataclass(frozen=True, slots=True)
class Reader:
    """How lines of an instrument are read.

    Attributes:
        pattern: a whole line, with a group ``value`` and perhaps a group ``unit``.
        unit: for lines that say none.
        deviation: whether the instrument shows deviations from what it was set to, so that the sign belongs to it.
    """

    pattern: re.Pattern[str]
    unit: str = ""
    deviation: bool = False

    def text(self, line: str) -> str | None:
        """The value as a person would type it; None for a line that says none."""
        found = self.pattern.fullmatch("".join(c for c in line[:LONGEST_LINE] if c.isprintable()))
        if found is None:
            return None
        groups = found.groupdict()
        value = _plain((groups["value"] or "").replace(" ", ""), deviation=self.deviation)
        unit = (groups.get("unit") or self.unit).strip()
        return f"{value} {UNITS.get(unit, unit)}".strip()


def _plain(value: str, *, deviation: bool) -> str:
    """Without the zeros that fill a display up; a plus sign only where it means more than nothing."""
    sign = "-" if value.startswith("-") else "+" if deviation else ""
    digits = value.lstrip("+-").lstrip("0")
    return sign + (digits if digits[:1].isdigit() else "0" + digits)


def reader_for(pattern: str, *, unit: str = "", deviation: bool = False) -> Reader:
    """A reader by the name of a usual pattern, or by a regular expression with a group named ``value``.

    Raises:
        BadInput: when it is neither.
    """
    text = PATTERNS[pattern][0] if pattern in PATTERNS else pattern
    try:
        made = re.compile(text)
    except re.error as error:
        raise BadInput(f"pattern: {pattern!r} is neither one of {', '.join(PATTERNS)} nor a regular expression: {error}") from None
    if "value" not in made.groupindex:
        raise BadInput(f"pattern: {pattern!r} has no group named value, as in (?P<value>[-+.0-9]+)")
    return Reader(made, unit, deviation)


def lines_of(port: Any) -> Iterator[str]:
    """Lines from an open serial port: ended by a line feed or a carriage return; silence ends none."""
    waiting = b""
    while True:
        got = port.read(max(1, port.in_waiting))
        if not got:
            yield ""
            continue
        *whole, waiting = re.split(rb"[\r\n]+", (waiting + got)[-LONGEST_LINE * 4:])
        for line in whole:
            if line.strip():
                yield line.decode("ascii", "replace")


@dataclass(frozen=True, slots=True)
class Line:
    """The way to the bench: its address, the token of this machine, its certificate where it has one."""

    address: str
    token: str
    certificate: Path | None = None

    def ask(self, path: str, body: Any = None) -> Any:
        """Asks the bench; raises Refused when it is not there or says no."""
        request = Request(self.address.rstrip("/") + path,  # noqa: S310 - http or https, checked by the caller
                          data=None if body is None else json.dumps(body).encode(),
                          headers={"Authorization": f"Bearer {self.token}", "Content-Type": "application/json"})
        try:
            with self._opener().open(request, timeout=10) as answer:
                return json.load(answer)
        except HTTPError as error:
            raise Refused(f"the bench says: {_said(error)}") from None
        except (URLError, OSError, ValueError) as error:
            raise Refused(f"the bench at {self.address} does not answer: {getattr(error, 'reason', error)}") from None

    def _opener(self) -> Any:
        context = ssl.create_default_context(cafile=str(self.certificate)) if self.certificate else None
        return build_opener(ProxyHandler({}), HTTPSHandler(context=context))


def _said(error: HTTPError) -> str:
    try:
        return json.load(error)["error"]
    except (ValueError, KeyError, TypeError):
        return f"{error.code}"


def page_of(pages: list[dict[str, Any]], wanted: str) -> dict[str, Any]:
    """The open page of that name, id or device; the only one when none is named.

    Raises:
        BadInput: when there is none, or more than one.
    """
    fitting = [p for p in pages if not wanted or wanted.lower() in {p["page"].lower(), p["name"].lower(), p["device"].lower()}]
    if len(fitting) == 1:
        return fitting[0]
    names = [" on ".join(word for word in (p["name"], p["device"]) if word) or p["page"] for p in pages]
    there = "; ".join(names) or "none: open the tray on the device first"
    raise BadInput(f"device: {wanted or 'none given'}; {len(fitting)} fit; open pages: {there}")
