"""What the pages of the running engine reckon with: sizes and weights as read, stated or taken, and the layout along the crank."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import pi

from tenths.engine.layout import Layout
from tenths.engine.quantity import Quantity, System
from tenths.errors import BadInput
from tenths.findings.along import Along, along
from tenths.findings.declare import Need
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Input, Resolver
from tenths.findings.running import AROUND_NAMES, UP_NAMES, around, up_and_down
from tenths.logbook.build import Build
from tenths.metrology.estimate import Estimate, combine, mean, single
from tenths.services.amounts import Amounts, Answer
from tenths.services.questions import system_of
from tenths.services.shop import Shop

NEEDED = ("bore", "stroke", "rod_length")
# Guesses where nobody says: common practice, no source. Of the bore B: factor, power of B, relative standard uncertainty.
GUESSES: Mapping[str, tuple[float, float, float]] = {
    "spacing": (1.12, 1, 0.03), "rod_pitch": (0.25, 1, 0.10), "main_journal": (0.65, 1, 0.08), "pin_journal": (0.55, 1, 0.08),
    "main_width": (0.25, 1, 0.15), "pin_width": (0.27, 1, 0.15), "web_thickness": (0.22, 1, 0.15), "web_width": (0.95, 1, 0.15),
    "piston": (430.0, 3, 0.15), "pin": (110.0, 3, 0.20), "small_end": (180.0, 3, 0.20), "big_end": (450.0, 3, 0.20),
}
FIXED: Mapping[str, tuple[float, float]] = {  # the same where the bore says nothing: value [SI], standard uncertainty
    "pin_offset": (0.0, 0.0), "closes": (pi / 3, pi / 30), "ratio": (9.5, 0.7), "heat": (1.0, 0.08), "inlet": (1.0, 0.05),
    "spark": (-22 * pi / 180, 0.06),
}
PLACES: Mapping[str, tuple[str, str, tuple[str, ...]]] = {  # name: where, feature, places that count
    "bore": ("cyl.{c}", "bore", ("middle", "gauge")), "stroke": ("pin.{p}", "stroke", ()), "rod_length": ("rod.{c}", "rod-length", ()),
    "pin_offset": ("engine", "pin-offset", ()), "redline": ("engine", "redline", ()), "closes": ("engine", "intake-closes", ()),
    "spacing": ("engine", "bore-spacing", ()), "main_width": ("engine", "main-width", ()), "pin_width": ("engine", "pin-width", ()),
    "main_journal": ("main.{m}", "journal", ()), "pin_journal": ("pin.{p}", "journal", ()),
    "rod_pitch": ("rod.{c}", "big-end-width", ()), "web_thickness": ("engine", "web-thickness", ()),
    "web_width": ("engine", "web-width", ()),
}
WORDS = {
    "bore": "bore", "stroke": "stroke", "rod_length": "rod length", "pin_offset": "piston pin offset", "redline": "highest speed",
    "closes": "intake closes after bottom dead centre", "spacing": "bore spacing", "main_width": "main journal width",
    "pin_width": "crankpin width", "main_journal": "main journal", "pin_journal": "crankpin", "rod_pitch": "big end width",
    "web_thickness": "thickness of a crank web", "web_width": "width of a crank web", "ratio": "compression ratio",
    "heat": "heat of the charge, over the usual", "inlet": "inlet pressure, over the usual",
    "spark": "start of the burn", "reciprocating": "what goes up and down",
    "rotating": "what goes round with the crankpin",
}
QUANTITIES = {"redline": Quantity.SPEED, "closes": Quantity.ANGLE, "spark": Quantity.ANGLE, "ratio": Quantity.RATIO,
              "heat": Quantity.RATIO, "inlet": Quantity.RATIO, "reciprocating": Quantity.MASS, "rotating": Quantity.MASS}
RANK = ("taken", "stated", "read")
# Where these are stated, or a lobe was read, and the heads are known, the pull's own pressure goes before the built-in model's.
OF_LOBE = ("duration", "valve-lift")


@dataclass(frozen=True, slots=True)
class Model:
    """An engine as it runs.

    Attributes:
        build: its log.
        layout: its layout.
        system: of units for the answers.
        sizes: mean over the engine of each size [SI], by name, with where it came from.
        reciprocating: what goes up and down, by cylinder label [kg].
        rotating: what goes round with the pin, likewise [kg].
        missing: sizes without which nothing is reckoned.
        breathes: whether valves and lobes are stated, so that a pull tells more than the built-in pressure.
    """

    build: Build
    layout: Layout
    system: System
    sizes: Mapping[str, Input]
    reciprocating: Mapping[str, Input]
    rotating: Mapping[str, Input]
    missing: tuple[str, ...]
    breathes: bool = False

    def value(self, name: str) -> float:
        """A size [SI]."""
        found = self.sizes[name].estimate
        assert found is not None  # noqa: S101 - what is missing is in `missing`
        return found.value

    def needed(self) -> "Model":
        """Itself; raises BadInput naming what is missing."""
        if self.missing:
            raise BadInput(f"the running engine: {', '.join(self.missing)} must be read or stated first")
        return self

    def along(self) -> Along:
        """The layout along the crank."""
        pitch = self.value("spacing") * max(c.place for c in self.layout.cylinders) / self.layout.throws
        return along(self.layout, spacing=self.value("spacing"), rod_pitch=min(self.value("rod_pitch"), 0.9 * pitch))

    def weights(self, name: str) -> list[float]:
        """Reciprocating or rotating weight of each cylinder, in the order of the labels [kg]."""
        rows = self.reciprocating if name == "reciprocating" else self.rotating
        return [rows[label].estimate.value for label in self.layout.labels]  # pyright: ignore[reportOptionalMemberAccess]

    def inputs(self, feature: str, where: str) -> Estimate | None:
        """A further size, as the mean over the engine; None where nobody read or stated it."""
        resolver = Resolver(self.build, InstrumentBook(self.build))
        stations = dict.fromkeys(where.format(c=c.label, p=c.pin) for c in self.layout.cylinders)
        known = [e for station in stations if (e := resolver.input(feature, station, feature, (), None).estimate) is not None]
        return None if not known else known[0] if len(known) == 1 else mean(known)

    @property
    def amounts(self) -> Amounts:
        """Writes numbers in the system asked for."""
        return Amounts(self.system)

    def used(self, *names: str) -> list[Answer]:
        """Sizes as an answer tells them: words, text, origin, entries."""
        rows: list[Answer] = []
        for name in names or tuple(self.sizes):
            size = self.sizes[name]
            if size.estimate is None:
                continue
            written = self.amounts(size.estimate.value, QUANTITIES.get(name, Quantity.LENGTH), size.estimate.u or None)
            where, feature, _ = PLACES.get(name, ("", "", ()))
            rows.append({"name": name, "words": WORDS[name], **written, "origin": size.origin, "entries": list(size.entries),
                         "stale": list(size.stale), "station": where.partition(".{")[0] + ".*" if "{" in where else where,
                         "feature": feature})
        return rows


def running_model(shop: Shop, engine: str, units: str = "") -> Model:
    """The model of an engine: whatever is read goes before what is stated, and that before a guess from the bore.

    Raises:
        BadInput: when there is no such engine or it has no layout.
    """
    build = shop.build(engine)
    if build.layout is None:
        raise BadInput(f"engine: {engine!r} has no layout yet")
    look = _Look(build, build.layout)
    sizes = {name: look.size(name) for name in PLACES}
    bore = sizes["bore"].estimate
    if bore is not None:
        sizes = {name: _or_guessed(name, size, bore.value) for name, size in sizes.items()}
    sizes["ratio"] = _ratio(shop, build)
    sizes |= {name: _fixed(name) for name in ("heat", "inlet", "spark")}
    if sizes["redline"].estimate is None and (stroke := sizes["stroke"].estimate):
        sizes["redline"] = _taken("redline", single(20.0 * pi / stroke.value, 0.0, "taken:redline"))
    missing = tuple(WORDS[name] for name in NEEDED if sizes[name].estimate is None)
    if missing:
        return Model(build, build.layout, system_of(build, units), sizes, {}, {}, missing)
    assert bore is not None  # noqa: S101 - it is among what is needed
    up, down = ({label: look.weight(needs(label), names, bore.value) for label in build.layout.labels}
                for needs, names in ((up_and_down, UP_NAMES), (around, AROUND_NAMES)))
    sizes |= {"reciprocating": _mean("reciprocating", up), "rotating": _mean("rotating", down)}
    return Model(build, build.layout, system_of(build, units), sizes, up, down, (), look.breathes())


class _Look:
    """Looks sizes up over all the places they are read at."""

    def __init__(self, build: Build, layout: Layout) -> None:
        self.layout, self._resolver = layout, Resolver(build, InstrumentBook(build))

    def size(self, name: str) -> Input:
        """The mean of a size over the engine; missing when nobody says anything, unless it has a fixed guess."""
        where, feature, places = PLACES[name]
        stations = dict.fromkeys(where.format(c=c.label, p=c.pin, m=k % self.layout.mains + 1)
                                 for k, c in enumerate(self.layout.cylinders))
        found = [self._resolver.input(name, station, feature, places, None) for station in stations]
        known = [row for row in found if row.estimate is not None]
        best = [row for row in known if row.origin == "read"] or known
        if not best:
            return _fixed(name) if name in FIXED else Input(name, "engine", feature, "missing")
        return _together(name, best, feature)

    def breathes(self) -> bool:
        """Whether valves and lobes are known: heads stated or read valve by valve, lobes stated, carded or read."""
        return all(self._side_breathes(side) for side in ("intake", "exhaust"))

    def _side_breathes(self, side: str) -> bool:
        def known(name: str, station: str = "engine") -> bool:
            return self._resolver.input(name, station, name, (), None).estimate is not None

        heads = [f"valve.{label}.{name}" for label in self.layout.labels for name in self.layout.valves if name.startswith(side[:2])]
        if not known(f"{side}-valve-head") and not any(known("head-diameter", station) for station in heads):
            return False
        return all(known(f"{side}-{name}") for name in OF_LOBE) or self._lobe_drawn(side)

    def _lobe_drawn(self, side: str) -> bool:
        """Whether a lobe of the side was read, or its card drawn."""
        build = self._resolver.build
        if not build.cams.batches and not build.cams.card:
            return False
        from tenths.services.lobe_fits import carded, read_lobes  # noqa: PLC0415 - only where there is a lobe
        from tenths.services.wheel import timed  # noqa: PLC0415 - the same

        drawn = carded(build.cams.card, side) if build.cams.card else None
        return bool(drawn and drawn.lobe and drawn.centre is not None) or any(
            row.side == side and row.fit and row.now and not row.stale for row in read_lobes(timed(build)))

    def weight(self, needs: tuple[Need, ...], names: tuple[str, ...], bore: float) -> Input:
        """A weight of one cylinder added up; what nobody weighed is guessed from the bore."""
        rows: list[Input] = []
        for need, name in zip(needs, names, strict=True):
            row = self._resolver.input(need.name, need.at, need.feature, (), need.otherwise, need.doubt)
            rows.append(_or_guessed(name, row, bore))
        whole = combine([1.0] * len(rows), [row.estimate for row in rows if row.estimate is not None])
        return replace(_together("weight", rows, "weight"), estimate=whole)


def _together(name: str, rows: list[Input], feature: str) -> Input:
    """Several inputs as one: their mean, the weakest origin, all entries."""
    origin = min((row.origin for row in rows), key=lambda o: RANK.index(o) if o in RANK else 0)
    estimates = [row.estimate for row in rows if row.estimate is not None]
    return Input(name, "engine" if len(rows) > 1 else rows[0].station, feature, origin,
                 estimates[0] if len(estimates) == 1 else mean(estimates),
                 tuple(dict.fromkeys(e for row in rows for e in row.entries)),
                 tuple(dict.fromkeys(s for row in rows for s in row.stale)),
                 tuple(dict.fromkeys(w for row in rows for w in row.warnings)))


def _taken(name: str, estimate: Estimate) -> Input:
    return Input(name, "engine", name, "taken", estimate)


def _fixed(name: str) -> Input:
    value, u = FIXED[name]
    return _taken(name, single(value, u, f"taken:{name}"))


def _or_guessed(name: str, size: Input, bore: float) -> Input:
    if size.estimate is not None or name not in GUESSES:
        return size
    factor, power, doubt = GUESSES[name]
    value = factor * bore**power
    return replace(size, origin="taken", estimate=single(value, doubt * value, f"taken:{name}"))


def _mean(name: str, rows: Mapping[str, Input]) -> Input:
    return _together(name, list(rows.values()), name)


def _ratio(shop: Shop, build: Build) -> Input:
    """The mean compression ratio as found or expected; a guess where it cannot be worked out."""
    found = [f for f in shop.checked(build) if f.characteristic.name == "compression-ratio" and f.estimate is not None]
    if not found:
        return _fixed("ratio")
    rows = [Input("ratio", f.station, "compression-ratio", "read" if f.entries else "stated", f.estimate, f.entries, f.stale)
            for f in found]
    return _together("ratio", rows, "compression-ratio")
