"""What the record says of the valve train: only where springs and weights were read or stated; what is guessed besides is named."""

from typing import Any

from tenths.errors import BadInput, OutOfRange, Unsettled
from tenths.record import train_plots
from tenths.record.plots import plot_svg
from tenths.record.report_plots import PALETTE
from tenths.services.running_model import Model
from tenths.services.shop import Shop

Answer = dict[str, Any]
WEIGHED = ("weight", "retainer-weight", "spring-weight", "follower-weight", "push-rod-weight")


def train_part(shop: Shop, engine: str, units: str, model: Model, files: dict[str, str]) -> Answer | None:
    """Where each side floats, over speed, and what was guessed; None where springs or weights are not known.

    Args:
        shop: the shop.
        engine: which engine.
        units: inch or metric; empty for the engine's own.
        model: the engine as it runs.
        files: pictures of the record by name; the plots are added.
    """
    if not _weighed(model):
        return None
    from tenths.services.valve_train import valve_train  # noqa: PLC0415 - it takes a compiler in

    try:
        answer = valve_train(shop, engine, units, speeds=9)
    except (BadInput, OutOfRange, Unsettled):  # no spring is known, or sizes that cannot be
        return None
    if any(_guessed_weights(side) for side in answer["sides"]):
        return None
    specs = [train_plots.partings(answer, PALETTE, width=680), *(train_plots.forces(side, PALETTE, width=680, height=190)
                                                                 for side in answer["sides"])]
    files |= {f"running-train-{n}.svg": plot_svg(spec) for n, spec in enumerate(specs)}
    return {"plots": [{"file": f"running-train-{n}.svg", "alt": spec["description"]} for n, spec in enumerate(specs)],
            "sides": [_side(side, answer) for side in answer["sides"]], "notes": answer["notes"]}


def _weighed(model: Model) -> bool:
    """Whether any valve was weighed: without, the motion is not worth reckoning for the record."""
    return any(model.inputs("weight", f"valve.{{c}}.{name}") is not None for name in model.layout.valves)


def _guessed_weights(side: Answer) -> bool:
    moving = {row["name"] for row in side["sizes"] if row["origin"] == "taken"}
    return any(name in moving for name in WEIGHED)


def _side(side: Answer, answer: Answer) -> Answer:
    floats, first = side["floats"], side["first"]
    guessed = ", ".join(row["words"] for row in side["sizes"] if row["origin"] == "taken")
    where = [f"{words} {'at ' + one['speed']['text'] if one['found'] else 'not up to ' + one['tried']['text']}"
             for words, one in (("floats", floats), ("first parts", first))]
    return {
        "title": f"{side['side'].capitalize()}: {where[0]}, {where[1]}; highest speed {answer['redline']['text']}",
        "lines": train_plots.told(side),
        "about": f"Lobe: {side['lobe']['words']}. {side['mass']['text']} at the valve, {side['stiffness']['text']}, swings at "
                 f"{side['natural']['text']}; the spring at {side['surge'][0]['text']}. Guessed: {guessed or 'nothing'}.",
        "rows": [[row["speed"]["text"], row["state"], row["parted"]["text"], row["landing"]["text"], row["bounce"]["text"],
                  row["force"]["text"], row["stress"]["text"]] for row in side["rows"]]}
