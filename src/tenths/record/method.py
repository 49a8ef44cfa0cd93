"""The standing words of the record: how the numbers were made, what it does not say, who signs, how to verify."""

from typing import Any

SIGNATURES = [
    {"role": "Builder", "says": "measured and judged as it stands here"},
    {"role": "Second check", "says": "read again where it matters"},
    {"role": "Customer", "says": "record received with the engine"},
]
HOW_TO_VERIFY = (
    "Every entry of the log carries the hash of the one before it, so none can be changed, added or left out without "
    "the last hash changing. Ask for the export of this log; tenths verify {engine}.zip then answers with the position "
    "and the hash that stand here."
)
VALUES = (
    "Each value follows from the readings at the end of this record by the formula under its name; where nothing was "
    "read, from sizes stated on a sheet or on a part's card. Only readings that still hold for the parts now fitted "
    "count; the others, and what hangs on them, are called stale."
)
UNCERTAINTY = (
    "Behind ± stands half of the 95 % interval. Every reading carries the limit of error and the resolution of its "
    "instrument, the repeatability of the hand, and the master it was set from. Causes that two readings share are "
    "followed through the formula, so that they cancel or add as they truly do. No figure has more digits than its "
    "uncertainty carries."
)
LIMITS = (
    "The maker's sheet judges first, then the house rules, then common practice for this kind of use; each limit names "
    "its authority."
)
CAUTIONS = (
    "The instructions of the makers of engine, parts and fluids come first. This record says what was measured, on the "
    "parts and on the days that it names, at the bench; it does not say what has happened to the engine since, and it "
    "replaces neither the maker's tightening, oil and running-in instructions nor a check before the first start."
)


def method(house: dict[str, Any]) -> list[dict[str, str]]:
    """How the numbers came to be, in short paragraphs with a title each."""
    told = {"Values.": VALUES, "Uncertainty.": UNCERTAINTY, "Verdicts.": _rule(house), "Limits.": LIMITS,
            "Cautions.": CAUTIONS}
    return [{"title": title, "text": text} for title, text in told.items()]


def _rule(house: dict[str, Any]) -> str:
    if house["guarded"]:
        rule = (f"The rule is {house['rule']}: a value fits, or is out, only where it stands clear of the limit by "
                "that guard")
    else:
        rule = (f"A value fits when it lies within its limits with a probability of at least {house['accept']:.0%}, "
                f"and is out when that probability is at most {house['reject']:.0%}").replace("%", " %")
    return (f"{rule}; between the two it is too close to call. Where it is neither certain nor hopeless, the "
            "probability stands before the verdict.")
