"""House rules on instruments and temperatures: what is overdue, how near a note of the temperature log must lie."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from tenths.engine.quantity import Quantity, parse
from tenths.errors import BadInput


@dataclass(frozen=True, slots=True)
class Keeping:
    """House rules in force. What is set here at first is common practice, no source.

    Attributes:
        set_within: a gauge counts as set for so long [s]; a working day.
        reach: a note of the temperature log counts for readings no further away than this [s].
        soaked: a note no further away than this is taken as it stands [s]; castings lag the air by about an hour.
        thermometer: standard uncertainty of the thermometer [K].
        part_to_gauge: standard uncertainty of part against gauge after lying together [K].
        from_note: standard uncertainty added where the part's temperature is that of a note, not of the reading [K].
        from_air: the same where only the shop air was noted [K].
    """

    set_within: float = 12 * 3600.0
    reach: float = 12 * 3600.0
    soaked: float = 3600.0
    thermometer: float = 0.6
    part_to_gauge: float = 0.5
    from_note: float = 0.5
    from_air: float = 1.5


TABLES: Mapping[str, Mapping[str, Quantity]] = {
    "instruments": {"set-within": Quantity.TIME},
    "temperature": {
        "reach": Quantity.TIME, "soaked": Quantity.TIME, "thermometer": Quantity.TEMPERATURE_DIFFERENCE,
        "part-to-gauge": Quantity.TEMPERATURE_DIFFERENCE, "from-note": Quantity.TEMPERATURE_DIFFERENCE,
        "from-air": Quantity.TEMPERATURE_DIFFERENCE,
    },
}
UNITS = {Quantity.TIME: "h", Quantity.TEMPERATURE_DIFFERENCE: "K"}


def keeping_of(house: Mapping[str, Any]) -> Keeping:
    """The rules of a house: its tables ``[instruments]`` and ``[temperature]`` over what is usual.

    Raises:
        BadInput: naming the table and the key that cannot be taken.
    """
    said: dict[str, float] = {}
    for table, keys in TABLES.items():
        rows = house.get(table, {})
        if not isinstance(rows, dict):
            raise BadInput(f"house rules: [{table}] has the wrong form; it takes {', '.join(keys)}")
        for key, text in rows.items():  # pyright: ignore[reportUnknownVariableType] - looked at one by one
            said[str(key).replace("-", "_")] = _amount(table, str(key), text)  # pyright: ignore[reportUnknownArgumentType]
    return Keeping(**said)


def _amount(table: str, key: str, text: object) -> float:
    quantity = TABLES[table].get(key)
    if quantity is None:
        raise BadInput(f"house rules: {table}: {key!r} is not known; there are {', '.join(TABLES[table])}")
    if not isinstance(text, str):
        raise BadInput(f'house rules: {table}: {key} = {text!r}: give it as text with its unit, like "12 h" or "0.5 K"')
    value = _read(text, quantity, f"house rules: {table}: {key}")
    if not 0 <= value <= 1e8:
        raise BadInput(f"house rules: {table}: {key} = {text!r} is not taken; it is 0 or more")
    return value


@lru_cache(maxsize=256)
def _read(text: str, quantity: Quantity, field: str) -> float:
    return parse(text, quantity, default_unit=UNITS[quantity], field=field).si
