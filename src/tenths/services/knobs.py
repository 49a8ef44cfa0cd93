"""What a builder may set about a question of choice: weights, targets and what may be cut, each with its own default."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from tenths.choose.words import System
from tenths.engine.quantity import Quantity, parse, unit_for
from tenths.errors import BadInput
from tenths.logbook.build import Build
from tenths.services.asked import Setting
from tenths.services.questions import system_of


@dataclass(frozen=True, slots=True)
class Knob:
    """A setting: name, words, what it is a number of (None for one of ``options``), defaults, smallest and largest [SI].

    An empty default means that nothing is set, and that the question finds its own.
    """

    name: str
    words: str
    quantity: Quantity | None
    inch: str = ""
    metric: str = ""
    options: tuple[str, ...] = ()
    least: float = 0.0
    most: float = float("inf")
    reads: Callable[[str], object] | None = None  # of a text with rules of its own: raises BadInput when it cannot be read
    takes: str = ""  # what it takes, in words

    def default(self, system: System) -> str:
        """The text in force while nobody says otherwise."""
        return self.metric if system == "metric" and self.metric else self.inch

    @property
    def accepted(self) -> str:
        """What is taken, in words."""
        if self.takes:
            return self.takes
        if self.quantity is None:
            return " or ".join(self.options)
        if self.quantity in {Quantity.RATIO, Quantity.COUNT}:
            return f"a number, {self.least:g} or more"
        return f"a {self.quantity.value.replace('_', ' ')}, {'a thousandth of a millimetre' if self.least else '0'} or more"


@dataclass(frozen=True, slots=True)
class Knobs:
    """The settings of one question, and what is in force in an engine."""

    question: str
    knobs: tuple[Knob, ...]

    def text(self, build: Build, name: str) -> str:
        """The text in force."""
        return build.asked.get(self.question, {}).get(name) or self._knob(name).default(system_of(build))

    def number(self, build: Build, name: str) -> float:
        """The number in force [SI]; raises BadInput when what was set cannot be read."""
        found = self.maybe(build, name)
        if found is None:
            raise BadInput(f"{name}: nothing is set")
        return found

    def maybe(self, build: Build, name: str) -> float | None:
        """The number in force [SI], or None where nothing is set."""
        text = self.text(build, name)
        return _read(self._knob(name), text, system_of(build)) if text else None

    def settings(self, build: Build) -> tuple[Setting, ...]:
        """All of them as they are in force."""
        return tuple(Setting(k.name, k.words, self.text(build, k.name), k.accepted) for k in self.knobs)

    def vet(self, said: Mapping[str, str], system: System) -> None:
        """Raises BadInput naming the setting that is not known or cannot be read."""
        for name, text in said.items():
            knob = self._knob(name)
            if text.strip():
                _read(knob, text.strip(), system)

    def _knob(self, name: str) -> Knob:
        found = next((knob for knob in self.knobs if knob.name == name), None)
        if found is None:
            raise BadInput(f"setting: {name!r} is not known; {self.question} takes {', '.join(k.name for k in self.knobs)}")
        return found


def _read(knob: Knob, text: str, system: System) -> float:
    if knob.reads is not None:
        knob.reads(text)
        return 0.0
    if knob.quantity is None:
        if text not in knob.options:
            raise BadInput(f"{knob.name}: {text!r} is not taken; give {knob.accepted}")
        return float(knob.options.index(text))
    value = parse(text, knob.quantity, default_unit=unit_for(knob.quantity, system), field=knob.name).si
    if not knob.least <= value <= knob.most:
        raise BadInput(f"{knob.name}: {text!r} is not taken; give {knob.accepted}")
    return value


def weights(names: Sequence[tuple[str, str, str]]) -> tuple[Knob, ...]:
    """Weights of goals: name, words, default."""
    return tuple(Knob(name, words, Quantity.RATIO, default) for name, words, default in names)
