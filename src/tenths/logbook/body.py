"""The base of all bodies of entries."""

from typing import ClassVar

import msgspec


class Body(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Base of all bodies."""

    TYPE: ClassVar[str]
    SCHEMA: ClassVar[int] = 1
