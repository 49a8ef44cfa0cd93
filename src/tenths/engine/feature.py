"""What a feature is: a thing that can be read or stated, with how and where; the catalogue of them is in `features`."""

from dataclasses import dataclass
from functools import cache

from tenths.engine.layout import Layout
from tenths.engine.quantity import Quantity
from tenths.engine.stations import cylinder_of

USUAL_SKETCHES = {"balancer": "balancer", "bore-gauge": "bore-gauge-bush", "burette": "burette", "degree-wheel": "degree-wheel",
                  "outside-micrometer": "micrometer-round", "scale": "scale-part"}


@dataclass(frozen=True, slots=True)
class Feature:
    """A thing that can be read: its name, the kinds of station it belongs to, quantity, places, and how to do it."""

    name: str
    kinds: tuple[str, ...]
    quantity: Quantity
    words: str
    how: str
    instrument: str  # kind of instrument that a shop would take
    rests_on: tuple[str, ...] = ("{s}",)
    places: tuple[str, ...] = ("",)
    stated_only: bool = False
    signed: bool = False  # below zero is a value of its own, not a deviation from a setting
    sketch: str = ""  # which small drawing shows how, where the usual one of the instrument does not
    names: tuple[str, ...] = ()  # one of these is said, not a number; its value is its place among them

    def slots(self, layout: Layout, station: str) -> tuple[str, ...]:
        """The part slots that a reading of this feature at that station rests on."""
        return _slots(self, layout, station)

    @property
    def fine(self) -> bool:
        """Whether it is typed in microinches or micrometres: what a surface gauge shows."""
        return self.instrument == "surface-gauge"

    def named(self, text: str) -> int | None:
        """Which of its names a text means, whatever its capitals, blanks and hyphens; None for none of them."""
        return next((n for n, name in enumerate(self.names) if _plain(name) == _plain(text)), None)

    @property
    def shown(self) -> str:
        """The small drawing that shows how it is read: its own, else the usual one of its instrument."""
        return self.sketch or ("sheet" if self.stated_only else USUAL_SKETCHES.get(self.instrument, ""))


def _plain(name: str) -> str:
    return "".join(c for c in name.lower().removeprefix("sae") if c.isalnum())


@cache
def _slots(feature: Feature, layout: Layout, station: str) -> tuple[str, ...]:
    label = cylinder_of(station)
    bank = layout.cylinder(label).bank if label else station.rsplit(".", maxsplit=1)[-1]
    cam = ".".join(station.split(".")[:2])
    return tuple(slot.format(s=station, c=label, bank=bank, cam=cam) for slot in feature.rests_on)
