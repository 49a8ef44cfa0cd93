"""What rubs in an engine, gathered for the friction of its pull: sizes as read or stated, kind of valve gear by the layout."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from tenths.calc.gas.pull import Engine
from tenths.calc.gas.rubbing import Rubbing
from tenths.engine.feature_gas import FOLLOWERS, VALVE_GEARS
from tenths.services.running_model import Model
from tenths.services.shop import Shop

# Share of a bearing's journal that the shell covers, without fillets and chamfers: common practice, no source.
COVERED = 0.85


def gear_of(model: Model) -> str:
    """The kind of valve gear by where the camshafts lie: in the block, one to a bank, two to a bank."""
    banks = {bank.name for bank in model.layout.banks}
    if not any(shaft.name.startswith(tuple(banks)) for shaft in model.layout.camshafts):
        return "push-rod"  # a camshaft of a bank bears the bank's name
    return "direct" if len(model.layout.camshafts) >= 2 * len(banks) else "rocker"


def rubbing_of(model: Model, size: Mapping[str, float]) -> Rubbing:
    """The parts that rub."""
    value, cylinders = model.value, len(model.layout.cylinders)
    return Rubbing(
        bore=value("bore"), stroke=value("stroke"), cylinders=cylinders, compression=size["compression-ratio"],
        mains=model.layout.mains, main_journal=value("main_journal"), main_width=COVERED * value("main_width"),
        pins=cylinders, pin_journal=value("pin_journal"), pin_width=COVERED * min(value("rod_pitch"), value("pin_width")),
        cam_bearings=sum(shaft.bearings for shaft in model.layout.camshafts),
        valves=cylinders * round(size["intake-valves"] + size["exhaust-valves"]), lift=size["intake-valve-lift"] * size["lift-share"],
        gear=VALVE_GEARS[round(size["valve-gear"])], roller=FOLLOWERS[round(size["followers"])] == "roller", pumps=size["pumps-share"],
        webs=2 * model.layout.throws, web_area=value("web_thickness") * 0.5 * value("web_width"), web_radius=0.6 * value("stroke"))


FILM_SPEEDS = 5
MOST_KEPT = 16
_FILMS: dict[tuple[str, int, str], tuple[tuple[float, float], ...]] = {}  # by shop, position of the log, engine


def with_film(shop: Shop, engine: str, model: Model, of: Engine) -> Engine:
    """The same engine, its bearings rubbing as their oil films do: by the sizes as measured and the oil as stated.

    The loads are those of the built-in pressure, so that a pull does not wait for itself: a bearing's loss goes with its speed and
    clearance far more than with its load.
    """
    from tenths.services.film_bearings import bearing_losses  # noqa: PLC0415 - it takes a compiler in

    if not isinstance(of.friction, Rubbing):
        return of
    key = (str(shop.folder), model.build.position, engine)
    if key not in _FILMS:
        speeds = np.linspace(0.2, 1.0, FILM_SPEEDS) * model.value("redline")
        losses = bearing_losses(shop, model, [float(s) for s in speeds])
        if len(_FILMS) >= MOST_KEPT:
            _FILMS.pop(next(iter(_FILMS)))
        _FILMS[key] = tuple((float(s), float(p)) for s, p in zip(speeds, losses, strict=True))
    return replace(of, friction=replace(of.friction, film=_FILMS[key]))
