"""Features of the valve train in motion: what is weighed, what gives, and what touches the lobe."""

from tenths.engine.feature import Feature
from tenths.engine.quantity import Quantity

L, M, R, K = Quantity.LENGTH, Quantity.MASS, Quantity.RATIO, Quantity.STIFFNESS
TOUCHING = ("iron on iron, flat", "steel on steel, flat or pad", "steel on coated steel, flat or pad", "steel on a roller")


def _weighed(name: str, kind: str, words: str, how: str, rests_on: tuple[str, ...] = ("{s}",)) -> Feature:
    return Feature(name, (kind,), M, words, how, "scale", rests_on, sketch="scale-part")


def _stated(name: str, quantity: Quantity, words: str, how: str = "as the maker says, or as measured", *,
            names: tuple[str, ...] = ()) -> Feature:
    return Feature(name, ("engine",), quantity, words, how, "", (), stated_only=True, names=names)


TRAIN: tuple[Feature, ...] = (
    _weighed("weight", "valve", "weight of the valve", "clean and dry"),
    _weighed("weight", "lifter", "weight of the follower", "as it runs, a hydraulic one full of oil, a bucket with its shim"),
    _weighed("retainer-weight", "valve", "weight of retainer and locks", "both locks, and the cap where there is one"),
    _weighed("spring-weight", "valve", "weight of the spring", "dual springs together, damper left out", ("{s}.spring",)),
    _weighed("push-rod-weight", "valve", "weight of the push-rod", "clean and dry"),
    _weighed("rocker-weight", "valve", "weight of the rocker", "or of the finger; with its roller, without its shaft"),
    _stated("rocker-inertia", Quantity.INERTIA, "inertia of the rocker about its pivot", "or of the finger; swung as a pendulum, or drawn"),
    _stated("lobe-stiffness", K, "stiffness of camshaft and lobe", "at the lobe, with the crown of a bucket"),
    _stated("push-rod-stiffness", K, "stiffness of the push-rod", "along its length"),
    _stated("rocker-stiffness", K, "stiffness of rocker and stem", "at the valve; of the stem alone under a bucket"),
    _stated("seat-stiffness", K, "stiffness of the valve on its seat", "head and seat"),
    _stated("train-damping", R, "damping of the valve train", "of its joints, over critical"),
    _stated("spring-damping", R, "damping of the spring's own swing", "over critical; more with a damper or an inner spring that rubs"),
    _stated("lobe-width", L, "width of the lobe that bears", "the narrower of lobe and follower, chamfers taken off"),
    _stated("follower-radius", L, "radius of roller or pad", "0 for a flat follower"),
    _stated("follower-crown", L, "radius of the follower's crown", "across the lobe; 0 for a straight one"),
    _stated("touching", Quantity.COUNT, "materials of lobe and follower", "", names=TOUCHING),
)
