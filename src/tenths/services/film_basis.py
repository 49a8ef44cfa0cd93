"""What the oil film rests on, as stated or read: the oil, its temperatures and pressure, shells, finish, lining, use of the engine.

What nobody stated or read is guessed as common practice, and every row says which it is.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import hypot, pi, sqrt

from tenths.calc.film import grades
from tenths.calc.film.judged import Lining, root_mean_square
from tenths.calc.film.oil import Oil, walther
from tenths.engine.feature_film import LININGS, OIL_GRADES, POINTS, STATES
from tenths.engine.quantity import Quantity, parse
from tenths.engine.units import unit_for
from tenths.errors import BadInput, OutOfRange
from tenths.findings.film_rules import USUAL_LININGS, FilmRules, film_rules
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Input, Resolver
from tenths.metrology.estimate import Estimate, single
from tenths.services.amounts import Answer
from tenths.services.running_model import Model

GRADE = "10W-40"
GRADES = ("0W-20", "5W-30", "10W-40", "20W-50", "30", "40")
# Guesses where nobody says: common practice, no source. Value [SI] and standard uncertainty.
GUESSES: Mapping[str, tuple[float, float]] = {
    "oil-density": (870.0, 10.0), "oil-fuel": (0.0, 0.005), "oil-hot": (373.15, 5.0), "oil-cold": (313.15, 5.0),
    "oil-pressure": (4.0e5, 0.5e5),
    "journal-ra": (0.16e-6, 0.05e-6), "lining-ra": (0.36e-6, 0.12e-6), "feed-hole": (0.005, 0.001), "journal-tilt": (0.0, 0.0),
}
COVERED, GROOVE = 0.85, 0.18  # of the width: shell, groove of a main; common practice, no source
THICKENS = 15.0  # per GPa, where the option is taken and nobody says one: [Barus] of mineral oils at 100 degC, from memory
SHEET = 0.02  # relative standard uncertainty of the viscosities of a sheet, typical values as they are: common practice, no source


@dataclass(frozen=True, slots=True)
class Options:
    """What is tried on the films, as typed; nothing of it is stated.

    Attributes:
        grade: of the oil instead of the stated one.
        bearing: the only one looked at; its path is drawn.
        speed: a further speed.
        load: at it: full, part or shut throttle.
        thickens: "yes" lets pressure thicken the oil, "no" does not; empty as stated.
        tilt: of every journal, out of parallel over the shell's width.
    """

    grade: str = ""
    bearing: str = ""
    speed: str = ""
    load: str = ""
    thickens: str = ""
    tilt: str = ""


LOADS = {"full": 1.0, "part": 0.5, "shut": 0.0}


def options_of(given: Mapping[str, str]) -> Options:
    """Options as typed, by name; raises BadInput for a name or a word that is none."""
    names = tuple(Options.__dataclass_fields__)
    if unknown := sorted(set(given) - set(names)):
        raise BadInput(f"{unknown[0]!r} is no option of the oil film; there are {', '.join(names)}")
    found = Options(**{name: text.strip() for name, text in given.items()})
    for name, words in (("load", tuple(LOADS)), ("thickens", ("yes", "no"))):
        text = getattr(found, name)
        if text and text not in words:
            raise BadInput(f"{name}: {text!r} is not taken; give one of {', '.join(words)}")
    if found.grade:
        grades.middle_oil(found.grade)
    return found


def typed_size(model: Model, text: str, quantity: Quantity, field: str) -> float:
    """A size as typed into an option [SI]."""
    return parse(text, quantity, default_unit=unit_for(quantity, model.system), field=field).si


@dataclass(frozen=True, slots=True)
class StatedOil:
    """The oil, what it is called, where that comes from, relative standard uncertainty of its viscosity, and what is odd about it."""

    oil: Oil
    name: str
    origin: str
    doubt: float
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Shell:
    """A bearing's shells and surfaces [SI]: each as an input with its origin."""

    width: Input
    groove: Input
    extent: Input
    hole: Input
    journal: Input
    lining: Input
    tilt: Input
    kind: Lining
    kind_origin: str
    authority: str

    @property
    def roughness(self) -> tuple[float, float]:
        """Root mean square of journal and lining [m]."""
        return root_mean_square(value_of(self.journal)), root_mean_square(value_of(self.lining))


def value_of(size: Input) -> float:
    """The value of an input that is known [SI]."""
    assert size.estimate is not None  # noqa: S101 - guessed where nobody says
    return size.estimate.value


def estimate_u(estimate: Estimate | None) -> float:
    """Standard uncertainty of an estimate, 0 for none [SI]."""
    return estimate.u if estimate else 0.0


class Basis:
    """Everything that is stated, read or guessed for the films of one engine."""

    def __init__(self, model: Model, options: Options | None = None) -> None:
        self.model, self.options = model, options or Options()
        self.rules: FilmRules = film_rules(model.build.house)
        self._resolver = Resolver(model.build, InstrumentBook(model.build))
        self.oil = self._oil()
        self.hot, self.cold, self.supply = (self.size(name, "engine") for name in ("oil-hot", "oil-cold", "oil-pressure"))

    # -- sizes

    def size(self, feature: str, station: str, guess: tuple[float, float] | None = None) -> Input:
        """What was read, else stated, else guessed of a feature at a station."""
        found = self._resolver.input(feature, station, feature, (), None)
        if found.estimate is not None:
            return found
        value, u = guess or GUESSES[feature]
        return replace(found, origin="taken", estimate=single(value, u, f"taken:{feature}"))

    def said(self, feature: str, station: str = "engine") -> Estimate | None:
        """What was read or stated of it, or None."""
        return self._resolver.input(feature, station, feature, (), None).estimate

    def shell(self, station: str) -> Shell:
        """Shells and surfaces at a main or rod."""
        kind, _, label = station.partition(".")
        model, main = self.model, kind == "main"
        journal = station if main else f"pin.{model.layout.cylinder(label).pin}"
        across = model.value("main_width" if main else "rod_pitch")
        width = self.size("shell-width", station, (COVERED * across, 0.04 * across))
        groove = self.size("groove-width", station, (GROOVE * value_of(width) if main else 0.0, 0.0))
        tilt = self.size("journal-tilt", station)
        if self.options.tilt:
            tilt = Input("journal-tilt", station, "journal-tilt", "tried",
                         single(abs(typed_size(model, self.options.tilt, Quantity.LENGTH, "tilt")), 0.0, "tried:tilt"))
        name = self.named("lining", station, LININGS)
        lining, authority = self.rules.linings[name or USUAL_LININGS.get(model.build.use, "aluminium-tin")]
        extent, hole = self.size("groove-extent", station, (pi, 0.0)), self.size("feed-hole", station)
        return Shell(width, groove, extent, hole, self.size("journal-ra", journal), self.size("lining-ra", station), tilt, lining,
                     "stated" if name else "taken", authority)

    def named(self, feature: str, station: str, names: tuple[str, ...]) -> str:
        """Which of its names was stated, or empty."""
        stated = self.model.build.stated(station, feature)
        return names[int(stated.value)] if stated else ""

    # -- the oil

    def _oil(self) -> StatedOil:
        notes: list[str] = []
        density, fuel = self.size("oil-density", "engine"), self.size("oil-fuel", "engine")
        found = self._tried() or self._of_sheet(notes) or self._of_grade()
        oil = replace(found.oil, at_15=value_of(density), fuel=value_of(fuel))
        if found.origin != "tried":
            oil = self._sheared(oil)
        if self.options.thickens == "yes" or (self.options.thickens != "no" and self.said("oil-pressure-viscosity")):
            said = self.said("oil-pressure-viscosity")
            oil = replace(oil, pressure_coefficient=(said.value if said else THICKENS) * 1e-9)
        self._vet(oil)
        thinner = fuel.estimate.u * 6.0 if fuel.estimate else 0.0  # a share of fuel takes some six times as much of the viscosity
        return replace(found, oil=oil, doubt=hypot(found.doubt, thinner), notes=tuple(notes))

    def _tried(self) -> StatedOil | None:
        if not self.options.grade:
            return None
        return StatedOil(grades.middle_oil(self.options.grade), grades.grade(self.options.grade).name, "tried", spread(self.options.grade))

    def _of_sheet(self, notes: list[str]) -> StatedOil | None:
        """The line through the viscosities that are stated, two or more."""
        points = [(at, nu) for at, nu in ((313.15, self.said("oil-viscosity-40")), (373.15, self.said("oil-viscosity-100"))) if nu]
        for at in POINTS:
            nu, warm = self.said(f"oil-viscosity-{at}"), self.said(f"oil-temperature-{at}")
            if (nu is None) != (warm is None):
                notes.append(f"Point {at} of the oil's viscosity lacks its {'viscosity' if nu is None else 'temperature'} and is left out.")
            elif nu is not None and warm is not None:
                points.append((warm.value, nu))
        if len(points) < 2:
            if points:
                notes.append("One viscosity alone does not tell an oil; a second at another temperature does.")
            return None
        try:
            line = walther([at for at, _ in points], [nu.value for _, nu in points])
        except OutOfRange as error:
            raise BadInput(f"viscosity of the oil: {error}") from None
        off = max(abs(line.kinematic(at) / nu.value - 1.0) for at, nu in points)
        if off > 0.05:
            notes.append(f"The stated viscosities lie up to {off:.0%} off the straight line of ASTM D341 through them.")
        doubt = hypot(SHEET, sqrt(sum((nu.u / nu.value) ** 2 for _, nu in points)) / len(points), off)
        grade = self.named("oil-grade", "engine", OIL_GRADES)
        return StatedOil(Oil(line), f"stated oil{', ' + grade if grade else ''}", "stated", doubt)

    def _of_grade(self) -> StatedOil:
        grade = self.named("oil-grade", "engine", OIL_GRADES)
        name = grade or GRADE
        return StatedOil(grades.middle_oil(name), name, "stated" if grade else "taken", spread(name) if grade else 2 * spread(name))

    def _sheared(self, oil: Oil) -> Oil:
        """With the viscosity at high shear: as stated, else nine tenths kept by a multigrade."""
        said = self.said("oil-high-shear")
        if said is not None:
            return replace(oil, high_shear=said.value)
        grade = self.named("oil-grade", "engine", OIL_GRADES)
        if oil.high_shear is not None or "W" not in grade:
            return oil
        top = oil.viscosity(423.15)
        return replace(oil, high_shear=min(top, max(grades.grade(grade).high_shear, 0.9 * top)))

    def _vet(self, oil: Oil) -> None:
        try:
            oil.viscosity(373.15, shear_rate=1e6)
        except OutOfRange as error:
            raise BadInput(f"oil: {error}") from None

    # -- use

    def shares(self) -> tuple[tuple[float, ...], str]:
        """Share of the running time at each state, and who says so: stated for the engine, else by its kind of use."""
        said = [self.said(f"share-{state}") for state in STATES]
        if any(said):
            shares = tuple(one.value if one else 0.0 for one in said)
            if sum(shares) <= 0.0:
                raise BadInput("shares of the running time are all 0; state one above 0, such as share-cruise")
            return tuple(share / sum(shares) for share in shares), "stated"
        shares, authority = self.rules.times[self.model.build.use]
        return tuple(share / sum(shares) for share in shares), f"{authority} for {self.model.build.use}"

    # -- as an answer tells it

    def told(self) -> list[Answer]:
        """The oil and what else holds for all bearings, as rows: words, text, origin, and where it is stated."""
        rows = [self._row("oil-grade", "oil", None, self.oil.origin, text=self.oil.name)]
        for name in ("oil-viscosity-40", "oil-viscosity-100", "oil-high-shear", "oil-pressure-viscosity"):
            if (said := self.said(name)) is not None:
                rows.append(self._row(name, "", said, "stated"))
        for name in ("oil-density", "oil-fuel", "oil-hot", "oil-cold", "oil-pressure"):
            size = self.size(name, "engine")
            rows.append(self._row(name, "", size.estimate, size.origin, size.entries))
        return rows

    def told_of(self, station: str) -> list[Answer]:
        """The same for one bearing."""
        shell = self.shell(station)
        rows = [self._row(one.feature, "", one.estimate, one.origin, one.entries, station=one.station)
                for one in (shell.width, shell.groove, shell.extent, shell.hole, shell.journal, shell.lining, shell.tilt)]
        return [*rows, self._row("lining", "", None, shell.kind_origin, text=shell.kind.name, station=station)]

    def _row(self, feature: str, words: str, estimate: Estimate | None, origin: str, entries: tuple[str, ...] = (), *, text: str = "",
             station: str = "engine") -> Answer:
        from tenths.engine.features import feature_at  # noqa: PLC0415 - words only

        known = feature_at(feature, station)
        unit = "µm" if known.fine and self.model.system == "metric" else "µin" if known.fine else ""
        written = (self.model.amounts(estimate.value, known.quantity, estimate.u or None, unit=unit) if estimate
                   else {"value": None, "unit": "", "standard_uncertainty": None, "text": text})
        pattern = ".*".join((station.partition(".")[0], "")) if "." in station else station
        return {"name": feature, "words": words or known.words, **written, "origin": origin, "entries": list(entries), "stale": [],
                "station": pattern, "feature": feature}


def thicker(oil: Oil, by: float) -> Oil:
    """The same oil with all its viscosities so many times as large."""
    warm = (313.15, 373.15)
    line = walther(warm, [by * oil.line.kinematic(at) for at in warm])
    return replace(oil, line=line, high_shear=None if oil.high_shear is None else by * oil.high_shear)


def spread(grade: str) -> float:
    """Relative standard uncertainty of the viscosity of an oil of which only the grade is known: anywhere within it [J300]."""
    limits = grades.grade(grade)
    return (limits.below - limits.least) / (limits.below + limits.least) / sqrt(3.0)
