"""What a film is held against: roughness, unit load, temperature; and which clearance leaves most of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum, pi

from tenths.calc._check import not_negative, positive
from tenths.errors import BadInput

PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Lining:
    """What the lining of a bearing bears for long, and who says so.

    Attributes:
        name: of its kind.
        unit_load: largest load over length times diameter [Pa].
        peak_pressure: of the film [Pa].
        temperature: of the oil in the film [K].
        film: at least [m].
        ratio: film over roughness at least [-].
        source: who says so.
    """

    name: str
    unit_load: float
    peak_pressure: float
    temperature: float
    film: float = 1.0e-6
    ratio: float = 1.0
    source: str = PRACTICE


# Common practice, no source: each row from memory; no standard gives limits for the changing loads of an engine.
LININGS = (
    Lining("tin-base white metal", 14e6, 45e6, 403.15),
    Lining("aluminium-tin", 45e6, 140e6, 423.15),
    Lining("aluminium-silicon", 55e6, 170e6, 433.15),
    Lining("lead-bronze with overlay", 65e6, 200e6, 433.15),
    Lining("sputtered overlay", 100e6, 300e6, 443.15),
)


def root_mean_square(ra: float) -> float:
    """Root-mean-square roughness of a surface whose mean roughness Ra was read.

    Args:
        ra: mean of the heights' distances from their middle [m].

    Returns:
        The root mean square [m].

    Raises:
        OutOfRange: for a roughness that is not positive.

    Validity: heights spread normally; run-in and plateau-honed surfaces lie within some ten per cent.
    Source: the normal distribution: sqrt(pi / 2) times the mean distance.
    """
    positive(ra=ra)
    return ra * (pi / 2.0) ** 0.5


def film_ratio(film: float, *, journal: float, lining: float) -> float:
    """Thinnest film over the roughness of both surfaces together.

    Args:
        film: thinnest [m].
        journal: root-mean-square roughness of the journal [m].
        lining: the same of the lining, run in [m].

    Returns:
        The ratio [-]: above 3 the surfaces are apart, below 1 they touch for good.

    Raises:
        OutOfRange: for a film or roughness that is not positive.

    Validity: as a scale, not a limit: linings run in.
    Source: [Hamrock] section 3.8.
    """
    positive(film=film, journal=journal, lining=lining)
    return film / (journal**2 + lining**2) ** 0.5


def left_at_the_edge(film: float, *, taper: float = 0.0, out_of_round: float = 0.0) -> float:
    """Thinnest film where form takes some of it.

    Args:
        film: thinnest, of a round journal parallel to its sleeve [m].
        taper: difference of diameters from end to end [m].
        out_of_round: difference of diameters across [m].

    Returns:
        The film [m], not below 0: less half the taper on the radius, and half the out-of-round on the radius.

    Raises:
        OutOfRange: for values below 0.

    Validity: as a lower bound, for a film that does not follow the form.
    Source: geometry: a quarter of each difference of diameters on either side of the mean radius.
    """
    not_negative(film=film, taper=taper, out_of_round=out_of_round)
    return max(film - taper / 4.0 - out_of_round / 4.0, 0.0)


@dataclass(frozen=True, slots=True)
class Best:
    """The clearance that leaves the thickest film where it is thinnest.

    Attributes:
        at: which of the clearances [-].
        film: that it leaves [m].
        flat: first and last of the clearances that leave nearly as much [-].
    """

    at: int
    film: float
    flat: tuple[int, int]


def best_clearance(films: Sequence[Sequence[float]], *, within: float = 0.05) -> Best:
    """The best clearance over several ways of running.

    Args:
        films: thinnest film [m]: clearance x way of running.
        within: how much less than the best still counts as nearly as much [-].

    Returns:
        The best, by the thinnest of its films.

    Raises:
        BadInput: for no clearances, or rows that are not alike.
        OutOfRange: for a share below 0.

    Validity: clearances in order and close enough to each other.
    Source: the largest of the least.
    """
    not_negative(within=within)
    if not films or not films[0] or len({len(row) for row in films}) != 1:
        raise BadInput(f"films are {len(films)} rows: one or more, all as long, are needed")
    least = [min(row) for row in films]
    at = max(range(len(least)), key=lambda k: least[k])
    enough = least[at] * (1.0 - within)
    first = last = at
    while first > 0 and least[first - 1] >= enough:
        first -= 1
    while last < len(least) - 1 and least[last + 1] >= enough:
        last += 1
    return Best(at, least[at], (first, last))


def film_over_use(films: Sequence[float], shares: Sequence[float]) -> float:
    """One film for all ways of running: their harmonic mean by time, in which the thin ones count most.

    Args:
        films: thinnest film of each way of running [m].
        shares: of the running time that each takes [-]; they need not add up to 1.

    Returns:
        The film [m].

    Raises:
        BadInput: unless there is one share for each film, and some time at all.
        OutOfRange: for a film that is not positive or a share below 0.

    Validity: as a measure to choose by; nobody holds a bearing to it.
    Source: harmonic mean; that wear goes with the time over the film is common practice, no source.
    """
    if len(films) != len(shares) or not films:
        raise BadInput(f"shares are {len(shares)}: one for each of {len(films)} films is needed")
    for film, share in zip(films, shares, strict=True):
        positive(film=film)
        not_negative(share=share)
    whole = fsum(shares)
    if whole <= 0.0:
        raise BadInput("shares are all 0: some of the running time must go somewhere")
    return whole / fsum(share / film for film, share in zip(films, shares, strict=True))
