"""The causes of a finding's doubt in the words of the shop, those of like readings in one line."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import hypot, inf

from tenths.engine.features import feature_at
from tenths.engine.quantity import Quantity, unit_for, write
from tenths.errors import BadInput
from tenths.findings.finding import Finding
from tenths.findings.instruments import InstrumentBook
from tenths.logbook.build import Build, Reading, Setting
from tenths.metrology.budget import Share, budget, in_words

OF_READINGS = {"resolution": "last figure", "repeat": "repeatability"}


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a budget.

    Attributes:
        kind: scale, master, setting, resolution, repeat, operator, temperature, expansion, stated, taken, crush or bend.
        words: the cause as a person would say it.
        part: standard contribution [SI of the finding]; root of the sum of squares where a line stands for several.
        share: of the variance [-].
        count: for how many causes the line stands.
        freedom: degrees of freedom, the fewest of them [-].
        shape: distribution.
        cancels: it is in the inputs and drops out of the result.
        causes: their keys.
    """

    kind: str
    words: str
    part: float
    share: float
    count: int
    freedom: float
    shape: str
    cancels: bool
    causes: tuple[str, ...]


def _of_crush(kind: str, rest: str) -> str:
    """What is doubtful of the crush of shells: as known before, as the caps that were read tell, of this place."""
    known = {"history": "as supposed before any was read", "read": "as the caps tell that were read"}
    return f"crush of {kind} shells, {known.get(rest) or 'own to ' + rest.replace('.', ' ')}"


@dataclass(slots=True)
class Wording:
    """Says the causes of one Build; looks readings and settings up by their entries."""

    build: Build
    book: InstrumentBook = field(init=False)
    readings: Mapping[str, Reading] = field(init=False)

    def __post_init__(self) -> None:
        self.book = InstrumentBook(self.build)
        self.readings = {r.mark.entry: r for rows in self.build.readings.values() for r in rows}

    def lines(self, finding: Finding) -> list[Line]:
        """The budget of a finding, largest line first, what cancels last."""
        if finding.estimate is None:
            return []
        groups: dict[tuple[str, str], list[Share]] = {}
        for share in budget(finding.estimate):
            groups.setdefault(self._group(share), []).append(share)
        made = [self._line(kind, words, rows) for (kind, words), rows in groups.items()]
        return sorted(made, key=lambda line: (line.cancels, -line.share, line.words))

    def _line(self, kind: str, words: str, rows: list[Share]) -> Line:
        count = f", {len(rows)} readings" if len(rows) > 1 and kind in OF_READINGS else ""
        return Line(kind, words + count, hypot(*(r.part for r in rows)) if len(rows) > 1 else rows[0].part,
                    sum(r.share for r in rows), len(rows), min((r.freedom for r in rows), default=inf), rows[0].shape,
                    all(r.cancels for r in rows), tuple(r.cause for r in rows))

    def _group(self, share: Share) -> tuple[str, str]:
        """Kind and words; the scatter and last figures of like readings share them."""
        kind, _, rest = share.cause.partition(":")
        return kind, self.words(kind, rest) or in_words(share.cause)

    def words(self, kind: str, rest: str) -> str:
        """A cause in words; empty for one that is not known here."""
        match kind:
            case "resolution" | "repeat":
                return f"{OF_READINGS[kind]}: {self._of_reading(rest)}"
            case "scale":
                return f"scale of {self.name(rest)}"
            case "master":
                return f"size of {self.name(rest)}"
            case "setting":
                return self._of_setting(rest)
            case "operator":
                who, _, what = rest.partition("/")
                return f"hand of {who} with {self.name(what)}"
            case "stated":
                return self._of_sheet(rest)
            case "taken":
                return f"{rest.replace('-', ' ')}: not read, a usual size taken"
            case "crush":
                return _of_crush(*rest.partition(":")[::2])
            case "bend":
                return "the formula is not straight over this doubt"
            case _:
                return ""

    def name(self, instrument: str) -> str:
        """What the shop calls an instrument."""
        listed = self.build.instruments.get(instrument)
        return (listed[1].name if listed else "") or instrument

    def place(self, station: str, feature: str) -> str:
        """A feature at a station: ``journal, main 3``."""
        try:
            words = feature_at(feature, station).words
        except BadInput:
            words = feature.replace("-", " ")
        return f"{words}, {station.removeprefix('part.').replace('.', ' ')}"

    def at(self, station: str, feature: str) -> str:
        """A feature at a station within a sentence: ``journal diameter at main 3``."""
        return self.place(station, feature).replace(", " + station.removeprefix("part.").replace(".", " "),
                                                    f" at {station.removeprefix('part.').replace('.', ' ')}")

    def _of_reading(self, entry: str) -> str:
        reading = self.readings.get(entry)
        return self.place(reading.station, reading.feature.name) if reading else "a reading"

    def _of_setting(self, entry: str) -> str:
        setting = self.build.settings.get(entry)
        if setting is None and entry in self.readings:
            setting = self.readings[entry].setting
        return f"setting {self.set_words(setting)}" if setting else "setting of the gauge"

    def set_words(self, setting: Setting) -> str:
        """A setting: ``Bore gauge from Micrometer 2-3 to 2.4910 in``."""
        size = ""
        if setting.size is not None:
            reading = next((r for r in self.readings.values() if r.setting is setting), None)
            unit = unit_for(reading.feature.quantity if reading else Quantity.LENGTH, "metric" if self.build.units == "metric" else "inch")
            size = f" to {write(setting.size, reading.feature.quantity if reading else Quantity.LENGTH, unit=unit)}"
        return f"{self.name(setting.instrument)} from {self.name(setting.master)}{size}"

    def _of_sheet(self, rest: str) -> str:
        _entry, feature, station = [*rest.split(":"), "", "", ""][:3]
        return f"stated, not read: {self.place(station, feature)}" if feature else "a size that is stated"
