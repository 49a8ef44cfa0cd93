"""Bodies written by older versions, brought to the latest schema one step at a time."""

from collections.abc import Callable
from typing import Any

from tenths.errors import BadInput, Damaged

Upcaster = Callable[[dict[str, Any]], dict[str, Any]]



def _as_it_is(raw: dict[str, Any]) -> dict[str, Any]:
    """Fields were added that say nothing where they are left out."""
    return raw


UPCASTERS: dict[tuple[str, int], Upcaster] = {  # (type, schema) -> the step to schema + 1
    ("stock.counted", 1): _as_it_is, ("choice.accepted", 1): _as_it_is, ("instrument.listed", 1): _as_it_is,
}


def upcast(type_name: str, schema: int, latest: int, raw: dict[str, Any]) -> dict[str, Any]:
    """The body as the latest schema would have written it.

    Raises:
        Damaged: when a step is missing.
        BadInput: when the body is not what its schema says, so that a step finds nothing to work on.
    """
    for step in range(schema, latest):
        upcaster = UPCASTERS.get((type_name, step))
        if upcaster is None:
            raise Damaged(f"{type_name}: no step from schema {step} to {step + 1} is known")
        try:
            raw = upcaster(raw)
        except (AttributeError, LookupError, TypeError, ValueError) as error:
            raise BadInput(f"{type_name} {schema}: the body does not fit its schema: {error!r}") from None
    return raw
