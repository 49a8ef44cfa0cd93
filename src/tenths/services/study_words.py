"""What a study of a gauge found, in the words of the shop."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from tenths.logbook.studies import Study

if TYPE_CHECKING:
    from tenths.services.study_results import AtMaster, Found, Scale

KINDS: Mapping[str, str] = {
    "repeatability": "repeatability and reproducibility", "bias": "bias against masters",
    "linearity": "bias over the range (linearity)", "stability": "stability over time",
}
HOW: Mapping[str, str] = {
    "repeatability": "The same parts, read again and again by each person, in an order that hides which is which.",
    "bias": "A master of known size, read again and again.",
    "linearity": "Masters over the range of the gauge, each read again and again.",
    "stability": "One master, read a few times on every occasion: each week, each change of season, after each fall.",
}
GOOD, USABLE = 0.10, 0.30  # of a tolerance, six standard deviations of the gauge: common practice ([AIAG-MSA])
ENOUGH_CLASSES = 5  # the same
FEW = 3.0  # degrees of freedom, below which a spread is known within a factor of two or so


def statement(study: Study, found: "Found", scale: "Scale") -> list[str]:
    """Sentences, the most telling first."""
    if found.chart is not None:
        return _of_chart(found)
    if found.masters:
        return [*(_of_master(m, scale) for m in found.masters), *_of_line(found, scale)]
    return _of_spread(study, found, scale)


def _of_spread(study: Study, found: "Found", scale: "Scale") -> list[str]:
    spread = found.variance
    assert spread is not None  # noqa: S101 - a spread study has one
    said = [f"One reading by one person repeats to ±{scale.small_text(2 * spread.repeatability)} (two standard deviations)."]
    if found.alone:
        said.append("One person read: what another's hand would add is not known.")
    elif spread.reproducibility == 0.0:
        said.append("No difference between the people can be told from the scatter of their readings.")
    else:
        more = "as much as" if spread.reproducibility > 0.8 * spread.repeatability else "less than"
        more = "more than" if spread.reproducibility > 1.25 * spread.repeatability else more
        said.append(f"Who reads adds ±{scale.small_text(2 * spread.reproducibility)}, {more} the hand's own scatter; together that is "
                    f"±{scale.small_text(2 * spread.gauge)} for a reading by any of them.")
        if spread.reproducibility_freedom < FEW:
            said.append(f"From {len(study.card.people)} people the difference between people is a rough figure, and is taken as one.")
    if found.tolerance:
        said.append(_against(spread.of_tolerance(found.tolerance), scale.small_text(found.tolerance)))
    said.append(_classes(spread.categories))
    worst = _worst_cell(study, found, scale)
    return [*said, worst] if worst else said


def _against(share: float, width: str) -> str:
    word = "good enough" if share <= GOOD else "usable, with care near the limits" if share <= USABLE else "too coarse"
    return f"Six standard deviations are {100 * share:.0f} % of the tolerance of {width}: {word} for it."


def _classes(count: int) -> str:
    if count < 2:
        return "It cannot tell these parts from each other."
    return f"It tells {count} sizes of these parts apart" + (
        "." if count >= ENOUGH_CLASSES else f"; {ENOUGH_CLASSES} or more are wanted for sorting.")


def _worst_cell(study: Study, found: "Found", scale: "Scale") -> str:
    """The part and person with readings much further apart than the others', which a slip would make."""
    ranges = {(part, person): max(found.table[i][k]) - min(found.table[i][k])
              for i, part in enumerate(study.card.parts) for k, person in enumerate(study.card.people)}
    (part, person), widest = max(ranges.items(), key=lambda row: row[1])
    usual = sum(ranges.values()) / len(ranges)
    limit = {2: 3.267, 3: 2.574, 4: 2.282, 5: 2.114}.get(study.card.trials, 2.0)
    if usual == 0.0 or widest <= limit * usual:
        return ""
    return (f"The readings of {part if not part.isdigit() else f'part {part}'} by {person} lie {scale.small_text(widest)} apart, "
            "which is beyond what scatter makes: look for a slip before this is taken over.")


def _of_master(m: "AtMaster", scale: "Scale") -> str:
    where = f"At {scale.size_text(m.size)} it reads {scale.small_text(abs(m.amount))} {'high' if m.amount > 0 else 'low'}"
    reach = f"±{scale.small_text(m.reach)} with the master's own doubt"
    if m.amount == 0.0:
        return f"At {scale.size_text(m.size)} it reads true, {reach}."
    if not m.shown:
        return f"{where}, {reach}; by the scatter alone that could be chance."
    return f"{where}, {reach}; that is no chance."


def _of_line(found: "Found", scale: "Scale") -> list[str]:
    if found.line is None:
        return []
    slope, chance = found.line.line.slope.value, found.line.slope_chance
    sizes = [m.size for m in found.masters]
    over = scale.small_text(abs(slope) * (max(sizes) - min(sizes)))
    if chance < 0.05:
        way = "rising" if slope > 0 else "falling"
        return [(f"The bias changes by {over} from the smallest master to the largest, {way} with size; that explains "
                 f"{100 * found.line.explained:.0f} % of its scatter.")]
    return [f"Over the range the bias does not change by more than chance makes ({over} from end to end)."]


def _of_chart(found: "Found") -> list[str]:
    chart = found.chart
    assert chart is not None  # noqa: S101 - the caller has looked
    said = [f"Occasion {n + 1} ({found.dates[n]}) is outside the limits: something happened. Clean it, set it, read again before it "
            "is trusted." for n in chart.outside]
    said += [f"The eight occasions up to {n + 1} ({found.dates[n]}) lie on one side: it drifts." for n in chart.drifting[:1]]
    if not said:
        said = [f"Steady over {len(chart.averages)} occasions: nothing is outside the limits and nothing drifts."]
    if len(chart.averages) < 20:
        said.append("The limits are made from few occasions yet; they settle with about twenty.")
    return said
