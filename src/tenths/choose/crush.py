"""Crush learned from caps that have been read, and which sizes can still be needed after that."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from tenths.choose.shells import Place, ShellRules, Size, wall_of
from tenths.choose.words import System, length, listed, percent
from tenths.errors import BadInput
from tenths.metrology.coverage import effective_freedom
from tenths.metrology.distributions import t_cdf
from tenths.metrology.estimate import Estimate, combine, difference, exact, single

BETWEEN = 0.0001 * 0.0254  # standard deviation [m] from place to place; common practice, no source


@dataclass(frozen=True, slots=True)
class Prior:
    """What is known of crush before the first cap has been read.

    Attributes:
        mean: expected offset [m].
        u: standard uncertainty of that for a new engine [m]; infinite where nothing is known.
        between: standard deviation from place to place within one engine [m].
    """

    mean: float = 0.0
    u: float = math.inf
    between: float = BETWEEN


UNKNOWN = Prior()
NO_WALL = exact(0.0)


@dataclass(frozen=True, slots=True)
class Learned:
    """Crush for the places not yet read.

    Attributes:
        average: of the kind of shell on this engine [m].
        between: standard deviation from place to place [m].
        readings: how many caps it rests on.
        kind: of shell.
    """

    average: Estimate
    between: float
    readings: int
    kind: str

    def at(self, station: str) -> Estimate:
        """Crush of one more place.

        Args:
            station: its address; each place has a scatter of its own.

        Returns:
            The offset [m].
        """
        own = single(0.0, self.between, f"crush:{self.kind}:{station}")
        return combine((1.0, 1.0), (self.average, own))

    @property
    def offset(self) -> Estimate:
        """Crush of whichever place comes next [m]."""
        return self.at("next")


def with_learned(places: Iterable[Place], learned: Learned) -> tuple[Place, ...]:
    """Places with what has been learned, each with a scatter of its own.

    Args:
        places: of any kind.
        learned: from the caps read.

    Returns:
        Places of that kind with the new offset, the others unchanged.
    """
    return tuple(replace(p, crush=learned.at(p.station)) if p.kind == learned.kind else p for p in places)


def learn_crush(
    predicted: Sequence[Estimate], installed: Sequence[Estimate], *, prior: Prior = UNKNOWN, kind: str = "main"
) -> Learned:
    """Crush from caps that have been predicted and then read.

    Readings are weighed against the prior by their own scatter. Causes that predicted and installed share cancel in
    each difference; what the differences share with one another stays shared with later readings too.

    Args:
        predicted: clearance from housing, walls and journal, without crush [m], one for each cap.
        installed: clearance as read with the shells in [m].
        prior: from the shop's own history.
        kind: of shell; names the causes.

    Returns:
        The average on this engine and the scatter to expect from place to place.

    Raises:
        BadInput: if they do not go in pairs, or there is neither a reading nor a prior.

    Source: weighted mean of a normal prior and normal readings, closed form.
    """
    if len(predicted) != len(installed):
        raise BadInput(f"learn_crush: {len(predicted)} predicted and {len(installed)} installed; they go in pairs")
    count = len(predicted)
    if count == 0 and math.isinf(prior.u):
        raise BadInput("learn_crush: no cap has been read and nothing is known from before")
    offsets = [difference(read, said) for read, said in zip(installed, predicted, strict=True)]
    between = single(0.0, prior.between / math.sqrt(count), f"crush:{kind}:read") if count else exact(0.0)
    read = combine([1.0 / count] * count + [1.0], [*offsets, between]) if count else exact(0.0)
    weight = _weight(read.u, prior.u) if count else 0.0
    known = single(prior.mean, prior.u, f"crush:{kind}:history") if weight < 1.0 else exact(0.0)
    average = combine((weight, 1.0 - weight), (read, known))
    return Learned(average, prior.between, count, kind)


def _weight(reading: float, prior: float) -> float:
    """Weight of the readings against the prior."""
    if math.isinf(prior):
        return 1.0
    total = reading**2 + prior**2
    return prior**2 / total if total else 1.0


def prior_from_history(engines: Sequence[Sequence[float]]) -> Prior:
    """What earlier engines say of a kind of shell.

    Args:
        engines: offsets [m] read on each earlier engine, at least two engines and one of them with two caps.

    Returns:
        Mean, uncertainty for a new engine, and scatter from place to place.

    Raises:
        BadInput: if there is too little to tell the two scatters apart.

    Source: one-way analysis of variance, closed form; engines of unlike size are weighed alike.
    """
    groups = [list(each) for each in engines if each]
    within = sum(len(each) - 1 for each in groups)
    if len(groups) < 2 or within < 1:
        raise BadInput("prior_from_history: at least two engines are needed, one of them with two caps read")
    means = [math.fsum(each) / len(each) for each in groups]
    squares = math.fsum((x - m) ** 2 for each, m in zip(groups, means, strict=True) for x in each)
    place = squares / within
    mean = math.fsum(means) / len(means)
    of_means = math.fsum((m - mean) ** 2 for m in means) / (len(means) - 1)
    engine = max(0.0, of_means - place * math.fsum(1 / len(each) for each in groups) / len(groups))
    return Prior(mean, math.sqrt(engine + of_means / len(means)), math.sqrt(place))


@dataclass(frozen=True, slots=True)
class SizeNeed:
    """Whether a size can still be needed.

    Attributes:
        size: of shell.
        probability: that some place not yet read will need it, no more than this [-].
        needed: whether it must be kept at hand.
        at: places where it may be wanted, likeliest first.
    """

    size: Size
    probability: float
    needed: bool
    at: tuple[str, ...]


def sizes_still_needed(
    places: Sequence[Place],
    crush: Estimate,
    sizes: Sequence[Size],
    rules: ShellRules,
    *,
    standard: Estimate = NO_WALL,
    probability: float = 0.95,
) -> tuple[SizeNeed, ...]:
    """Which sizes can still be needed at places whose caps have not been read.

    Each place will take the pair that comes nearest to its target once it has been read; how far the readings may lie
    from the prediction decides which pairs those can be. The probabilities of single places are added up: a size is
    called no longer needed only if even that sum is small, so what the places share does no harm.

    Args:
        places: not yet read, of one kind; their own crush is not used.
        crush: offset as learned [m].
        sizes: in the house or to be had.
        rules: of the house.
        standard: wall of a standard half [m].
        probability: with which the sizes kept shall be enough [-].

    Returns:
        One for each size, in the order given. The probabilities of all that are not needed add up to no more than
        1 - probability.
    """
    chances = dict.fromkeys(sizes, 0.0)
    wanted: dict[Size, list[tuple[float, str]]] = {size: [] for size in sizes}
    for place in places:
        for size, chance in _chances(place, crush, sizes, rules, standard).items():
            chances[size] += chance
            wanted[size].append((chance, place.station))
    dropped, spare = set[Size](), 1.0 - probability
    for size in sorted(sizes, key=lambda s: chances[s]):
        if chances[size] <= spare:
            dropped.add(size)
            spare -= chances[size]
    return tuple(
        SizeNeed(
            size,
            min(1.0, chances[size]),
            size not in dropped,
            tuple(station for chance, station in sorted(wanted[size], reverse=True) if chance > 1e-4),
        )
        for size in sizes
    )


def _chances(place: Place, crush: Estimate, sizes: Sequence[Size], rules: ShellRules, standard: Estimate) -> dict[Size, float]:
    """Probability that each size is in the pair that will come nearest to the target."""
    walls = {size: wall_of(size, standard=standard, name="one", scatter=0.0) for size in sizes}
    pairs = sorted(((up.change + low.change) / 2, up, low) for up, low in _pairs(sizes, rules))
    scatter = wall_of(Size("std", 0.0), name=f"{place.station}:pair")
    base = combine((1.0, 1.0, math.sqrt(2.0), -2.0), (place.room, crush, scatter, standard))
    if not pairs:
        return dict.fromkeys(walls, 0.0)
    freedom = effective_freedom(base)

    def below(change: float) -> float:
        """Probability that the change wanted is below this one."""
        away = change - (place.target - base.value)
        return t_cdf(away / base.u, freedom) if base.u else float(away > 0)

    found = dict.fromkeys(sizes, 0.0)
    steps = sorted({change for change, _, _ in pairs})
    for number, change in enumerate(steps):
        low = below((steps[number - 1] + change) / 2) if number else 0.0
        high = below((change + steps[number + 1]) / 2) if number + 1 < len(steps) else 1.0
        _share(found, [(up, down) for c, up, down in pairs if c == change], high - low)
    return found


def _share(found: dict[Size, float], pairs: Sequence[tuple[Size, Size]], chance: float) -> None:
    """A pair of one size needs that size only; where several pairs give the same, the plainest counts."""
    up, down = min(pairs, key=lambda pair: len(set(pair)))
    for size in {up, down}:
        found[size] += chance


def _pairs(sizes: Sequence[Size], rules: ShellRules) -> list[tuple[Size, Size]]:
    """Pairs that the rules let stand together; which of the two is above does not change the clearance."""
    return [
        (a, b)
        for i, a in enumerate(sizes)
        for b in sizes[i:]
        if a is b or (rules.mixed and abs(a.change - b.change) <= rules.step + 1e-9)
    ]


def needs_in_words(needs: Sequence[SizeNeed], crush: Estimate, system: System = "inch") -> tuple[str, ...]:
    """What to keep at hand and what to put away, as sentences.

    Args:
        needs: of all sizes.
        crush: offset as learned [m].
        system: of units.

    Returns:
        One or two sentences.
    """
    lead = f"Crush comes to {length(crush.value, system)} ± {length(2 * crush.u, system)}"
    keep = [need.size.label for need in needs if need.needed]
    gone = [need.size.label for need in needs if not need.needed]
    said = [f"{lead}: keep {listed(keep)} at hand." if keep else f"{lead}."]
    if gone:
        chance = math.fsum(need.probability for need in needs if not need.needed)
        said.append(f"{listed(gone)} can be put away; the chance that one is wanted after all is {percent(chance)} at most.")
    return tuple(said)
