"""Features of the gas side: valves and their lobes, runners, headers. They are stated, from a card, a sheet or a rule."""

from tenths.engine.feature import Feature
from tenths.engine.quantity import Quantity

L, A, V, R = Quantity.LENGTH, Quantity.ANGLE, Quantity.VOLUME, Quantity.RATIO


def _stated(name: str, quantity: Quantity, words: str, how: str = "") -> Feature:
    return Feature(name, ("engine",), quantity, words, how, "", (), stated_only=True)


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
    _stated("secondary-length", L, "length of the pipe after the first meeting"),
    _stated("secondary-diameter", L, "inside diameter of the pipe after the first meeting"),
    _stated("richness", R, "richness of the mixture", "fuel over what the air just burns"),
    _stated("burn-duration", A, "burn from 10 to 90 %", "of the crank, at 3,000 rpm"),
)
