"""Studies of the shop's gauges: begun, read one blind reading after the other, taken into a gauge's record."""

from collections.abc import Sequence
from hashlib import sha256
from typing import Any

import msgspec

from tenths.engine.quantity import Quantity, unit_for
from tenths.errors import BadInput
from tenths.findings.instruments import QUANTITY_OF_UNIT, typical
from tenths.logbook import bodies
from tenths.logbook.entry import Entry
from tenths.logbook.studies import Study
from tenths.services.shop import SHOP, Shop

Answer = dict[str, Any]
LONGEST = 60  # of a study's name, which stands in addresses


def study_named(shop: Shop, name: str) -> Study:
    """The study of that name; raises BadInput naming those there are."""
    studies = shop.build(SHOP).studies
    if name not in studies:
        raise BadInput(f"study: there is no {name!r}; there are {', '.join(studies) or 'none yet'}")
    return studies[name]


def begin_study(shop: Shop, card: bodies.StudyBegun) -> Entry:
    """Begins a study of a gauge of the shop.

    What is left out is filled in: the quantity and unit that the gauge reads, the person who begins it as its reader,
    the name of the study.

    Raises:
        BadInput: for a gauge that is not listed, or a card that does not hold together.
    """
    return shop.append(SHOP, filled(shop, card))[0]


def filled(shop: Shop, card: bodies.StudyBegun) -> bodies.StudyBegun:
    """The card with what was left out."""
    look_gauge(shop, card.instrument)
    listed = shop.build(SHOP).instruments[card.instrument][1]
    quantity = QUANTITY_OF_UNIT.get(typical(listed.kind, "inch").unit, Quantity.LENGTH)
    name = (card.study or _free_name(shop, f"{card.instrument}-{card.kind}")).strip()
    if not all(c.isalnum() or c in "-_." for c in name) or len(name) > LONGEST or name == "begin":
        raise BadInput(f"study: {name[:80]!r} is no name for one; letters, digits, hyphens and points are taken, up to {LONGEST}")
    metric = card.unit in {"mm", "µm"} or card.unit == "metric"
    unit = card.unit if card.unit not in {"", "inch", "metric"} else unit_for(quantity, "metric" if metric else "inch")
    return msgspec.structs.replace(card, study=name, quantity=quantity.value, unit=unit,
                                   people=card.people or (shop.person,))


def _free_name(shop: Shop, stem: str) -> str:
    """The stem with the first number that is still free."""
    taken, number = shop.build(SHOP).studies, 1
    while f"{stem}-{number}" in taken:
        number += 1
    return f"{stem}-{number}"


def look_gauge(shop: Shop, instrument: str) -> None:
    """Raises BadInput when no such gauge is listed in the shop."""
    known = shop.build(SHOP).instruments
    if instrument not in known:
        raise BadInput(f"instrument: {instrument!r} is not listed; listed are "
                       f"{', '.join(known) or chr(39).join(['none yet: ', 'tenths instrument', ' lists the first'])}")


def read_study(shop: Shop, readings: Sequence[bodies.StudyRead]) -> list[Entry]:
    """Takes readings of studies, all or none."""
    return shop.append(SHOP, *readings)


def named_parts(kind: str, parts: Sequence[str], count: int | None, sizes: Sequence[str]) -> tuple[str, ...]:
    """Names of the parts: as given, so many numbers, or after the sizes of the masters."""
    if parts:
        return tuple(parts)
    if sizes and len(set(sizes)) == len(sizes):
        return tuple(f"master {size}" for size in sizes)
    return tuple(str(n + 1) for n in range(count or (5 if kind == "repeatability" else 1)))


def one_reader(study: Study, reader: str) -> str:
    """The reader named, or the only one there is; raises BadInput when several could be meant."""
    people = study.card.people
    if reader or len(people) == 1:
        return reader or people[0]
    raise BadInput(f"reader: who of {', '.join(people)}?")


def as_readings(study: Study, part: str, reader: str, texts: Sequence[str], trial: int | None = None) -> list[bodies.StudyRead]:
    """Texts as readings of one part by one person, from a trial on; from the first that is not read yet when none is given."""
    occasion = next_occasion(study) if study.card.kind == "stability" else 0
    done = study.latest()
    free = [n for n in range(1, study.card.trials + 1) if (occasion, part, reader, n) not in done]
    numbers = list(range(trial, trial + len(texts))) if trial is not None else free
    if len(texts) > len(numbers):
        raise BadInput(f"values: {len(texts)} for {part} by {reader}, and {len(numbers)} of {study.card.trials} trials are open; "
                       "--trial names the first where one is read again")
    return [bodies.StudyRead(study=study.card.study, part=part, reader=reader, trial=n, text=text, occasion=occasion)
            for n, text in zip(numbers, texts, strict=False)]


# -- what is to be read, and in which order ----------------------------------------------------------------------------

def turns(study: Study, reader: str) -> list[Answer]:
    """What one person still has to read, in an order in which nobody knows what comes next: trial by trial, parts mixed.

    The order follows from the study's own entry, so that every device shows the same. A stability study asks for its
    next occasion: the one that is not complete, else a new one.
    """
    if reader not in study.card.people:
        raise BadInput(f"reader: {reader!r} is not in study {study.card.study}; there are {', '.join(study.card.people)}")
    done = study.latest()
    occasion = next_occasion(study) if study.card.kind == "stability" else 0
    return [{"part": part, "trial": trial, "occasion": occasion, "reader": reader}
            for trial in range(1, study.card.trials + 1) for part in _mixed(study, reader, trial)
            if (occasion, part, reader, trial) not in done]


def _mixed(study: Study, reader: str, trial: int) -> list[str]:
    def key(part: str) -> str:
        return sha256(f"{study.mark.entry}|{reader}|{trial}|{part}".encode()).hexdigest()

    return sorted(study.card.parts, key=key)


def next_occasion(study: Study) -> int:
    """The occasion of a stability study that is read now."""
    done = study.latest()
    last = max((occasion for occasion, *_ in done), default=0)
    each = len(study.card.people) * study.card.trials
    complete = last == 0 or sum(occasion == last for occasion, *_ in done) == each
    return last + 1 if complete else last


# -- taken into the record ---------------------------------------------------------------------------------------------

def accept_study(shop: Shop, name: str, words: str = "") -> Entry:
    """A person takes what a study found into the record of its gauge; engines read from now on carry it.

    Raises:
        BadInput: when the study has not enough readings yet, or finds nothing that belongs into a record.
    """
    from tenths.services.study_results import offer_of  # noqa: PLC0415 - it imports this module

    offer = offer_of(study_named(shop, name))
    if offer is None:
        raise BadInput(f"study {name}: there is nothing to take into the record of the gauge yet; read it to its end, and a "
                       "stability study only watches")
    return shop.append(SHOP, msgspec.structs.replace(offer, words=words))[0]
