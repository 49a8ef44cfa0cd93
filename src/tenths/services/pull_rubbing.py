"""What rubs in an engine, gathered for the friction of its pull: sizes as read or stated, kind of valve gear by the layout."""

from collections.abc import Mapping

from tenths.calc.gas.rubbing import Rubbing
from tenths.engine.feature_gas import FOLLOWERS, VALVE_GEARS
from tenths.services.running_model import Model

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
