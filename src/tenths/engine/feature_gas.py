"""Features of the gas side: valves and their lobes, runners, headers. They are stated, from a card, a sheet or a rule."""

from tenths.engine.feature import Feature
from tenths.engine.quantity import Quantity

L, A, V, R = Quantity.LENGTH, Quantity.ANGLE, Quantity.VOLUME, Quantity.RATIO


FUELS = ("petrol 95", "petrol 98", "race petrol 110", "E10", "E85", "ethanol", "methanol", "iso-octane", "propane", "methane")
VALVE_GEARS = ("push-rod", "rocker", "direct", "finger")
FOLLOWERS = ("flat", "roller")
HEATS = ("Woschni", "Hohenberg")
HEADERS = ("all of a bank together", "pairs, then their bank", "each by itself", "all of the engine together")


def _stated(name: str, quantity: Quantity, words: str, how: str = "", names: tuple[str, ...] = ()) -> Feature:
    return Feature(name, ("engine",), quantity, words, how, "", (), stated_only=True, names=names)


GAS: tuple[Feature, ...] = (
    _stated("intake-valves", R, "intake valves of a cylinder", "how many"),
    _stated("exhaust-valves", R, "exhaust valves of a cylinder", "how many"),
    _stated("intake-valve-head", L, "diameter of the intake valve's head"),
    _stated("exhaust-valve-head", L, "diameter of the exhaust valve's head"),
    _stated("intake-valve-lift", L, "greatest lift of the intake valve", "at the valve, lash taken off"),
    _stated("exhaust-valve-lift", L, "greatest lift of the exhaust valve", "at the valve, lash taken off"),
    _stated("intake-duration", A, "duration of the intake lobe", "of the crank, from seat to seat"),
    _stated("exhaust-duration", A, "duration of the exhaust lobe", "of the crank, from seat to seat"),
    _stated("intake-centre", A, "centre of the intake lobe", "after top dead centre"),
    _stated("exhaust-centre", A, "centre of the exhaust lobe", "before top dead centre"),
    _stated("runner-length", L, "length of the intake runner", "mouth to valve, port included"),
    _stated("runner-mouth", L, "diameter of the runner at its mouth"),
    _stated("runner-port", L, "diameter of the port", "at the valve"),
    _stated("plenum-volume", V, "volume of the plenum", "0 where each runner draws from the air"),
    _stated("throttle-bore", L, "bore of the throttle", "of the plenum, or of each runner"),
    _stated("primary-length", L, "length of the exhaust primary", "valve to where pipes meet, port included"),
    _stated("primary-diameter", L, "inside diameter of the primary"),
    _stated("header-kind", Quantity.COUNT, "which primaries meet", "pairs are those that fire farthest apart", HEADERS),
    _stated("tail-length", L, "length of the pipe after the last meeting", "0 where each pipe ends in the open"),
    _stated("tail-diameter", L, "inside diameter of that pipe"),
    _stated("silencer-volume", V, "volume of the silencer", "0 for none; it needs a tail pipe"),
    _stated("silencer-flow", R, "flow of the silencer", "effective over full area of its outlet"),
    _stated("filter-flow", R, "flow of the air filter", "effective over full area of the throttle; large where it hardly holds up"),
    _stated("secondary-length", L, "length of the pipe after the first meeting"),
    _stated("secondary-diameter", L, "inside diameter of the pipe after the first meeting"),
    _stated("richness", R, "richness of the mixture", "fuel over what the air just burns"),
    _stated("fuel-kind", Quantity.COUNT, "kind of fuel", "what the pull burns", FUELS),
    *(_stated(f"fuel-{liquid}", R, f"{liquid} mixed into the fuel", "share of the volume, 0 to 1")
      for liquid in ("ethanol", "methanol", "toluene", "benzene")),
    _stated("valve-gear", Quantity.COUNT, "kind of valve gear", "what stands between lobe and valve", VALVE_GEARS),
    _stated("followers", Quantity.COUNT, "followers", "whether they slide or roll on the lobes", FOLLOWERS),
    _stated("pumps-share", R, "pumps that the crank drives", "over the usual oil pump, water pump and generator; 0.5 for oil alone"),
    _stated("inlet-pressure", Quantity.PRESSURE, "pressure at the inlet", "absolute, before the throttle; behind the cooler with boost"),
    _stated("inlet-temperature", Quantity.TEMPERATURE, "temperature at the inlet", "behind the cooler with boost"),
    _stated("outlet-pressure", Quantity.PRESSURE, "pressure behind the outlet", "absolute; in front of the turbine with boost by exhaust"),
    _stated("burn-middle", A, "half burned, after top dead centre", "what the spark is set for, where knock allows it"),
    _stated("burn-shape", R, "shape of the burn", "m of the burn formula: small where it starts fast"),
    _stated("heat-correlation", Quantity.COUNT, "heat to the walls after", "whose formula", HEATS),
    _stated("heat-share", R, "heat to the walls over that of the formula", "below 1 with coated crowns and chambers"),
    _stated("burn-duration", A, "burn from 10 to 90 %", "of the crank, at 3,000 rpm"),
)
