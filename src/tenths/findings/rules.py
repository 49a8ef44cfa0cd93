"""Whether limits and house rules can be understood, before they are kept."""

import tomllib
from typing import cast

from tenths.errors import BadInput
from tenths.findings.cards import vet_card, vet_certificate
from tenths.findings.check import catalogue, rule_of
from tenths.findings.declare import Characteristic
from tenths.findings.film_rules import vet_film
from tenths.findings.keeping import TABLES, keeping_of
from tenths.findings.limits import limit_text, read_limit, rules_of
from tenths.findings.running import vet_balance
from tenths.findings.shell_rules import shell_rules
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.logbook.calibration import certificate_of
from tenths.logbook.marks import Mark


def vet_rules(build: Build, body: bodies.Body) -> None:
    """Raises BadInput when a limit, a house rule or the card of an instrument names what is not there, or cannot be read."""
    if isinstance(body, bodies.LimitStated):
        read_limit(body, _known(body.characteristic).quantity, build.units)
    elif isinstance(body, bodies.HouseAdopted):
        vet_house_rules(body.text)
    elif isinstance(body, bodies.InstrumentListed):
        vet_card(body)
    elif isinstance(body, bodies.InstrumentCertified):
        listed = build.instruments.get(body.instrument)  # a copy may come with the card, which the shop has looked at
        if listed:
            vet_certificate(listed[1].kind, certificate_of(Mark("", 0, "", ""), body))


def vet_house_rules(text: str) -> None:
    """Raises BadInput naming the row or the key of house rules that cannot be taken."""
    for row in rules_of(text):
        characteristic = _known(row.characteristic)
        for value in (row.lower, row.upper, row.target):
            if isinstance(value, str):
                limit_text(value, characteristic.quantity, "inch", f"house rule for {row.characteristic}")
    house = tomllib.loads(text)
    if unknown := sorted(set(house) - {"limit", "skip", "decision", "shop", "shells", "balance", "film", *TABLES}):
        raise BadInput(f"house rules: {unknown[0]!r} is not known; there are [[limit]], skip, [decision], [shells], "
                       "[instruments], [temperature], [balance], [film] and [shop]")
    _vet_letterhead(house.get("shop", {}))
    for name in house.get("skip", []):
        _known(name)
    rule_of(house)
    vet_balance(house.get("balance", {}))
    vet_film(house)
    keeping_of(house)
    shell_rules(house)


def _vet_letterhead(shop: object) -> None:
    """Raises BadInput unless it is what a record can put at its head: a name, and lines of text below it."""
    given = cast("dict[str, object]", shop) if isinstance(shop, dict) else {"": shop}
    lines = given.get("lines", [])
    fine = isinstance(given.get("name", ""), str) and isinstance(lines, list) and all(
        isinstance(line, str) for line in cast("list[object]", lines))
    if not fine or set(given) - {"name", "lines"}:
        raise BadInput('house rules: [shop] takes name = "..." and lines = ["...", "..."], the head of the record')


def _known(name: str) -> Characteristic:
    found = catalogue().get(name)
    if found is None:
        raise BadInput(f"characteristic: {name!r} is not known; there are {', '.join(sorted(catalogue()))}")
    return found
