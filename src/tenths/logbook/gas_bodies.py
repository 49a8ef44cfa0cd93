"""The bodies of entries about the pull: what was tried, kept under a name to be compared with."""

from typing import ClassVar

from tenths.logbook.body import Body


class VariantKept(Body, frozen=True):
    """Sizes of the gas side that somebody tried, kept under a name; texts as typed, by size.

    Kept again under its name, it takes the place of the one before; without sizes it is taken away.
    """

    TYPE: ClassVar[str] = "variant.kept"
    variant: str
    sizes: dict[str, str]
    words: str = ""
