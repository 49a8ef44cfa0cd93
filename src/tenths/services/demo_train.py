"""What the second demo engine has for the page of its valve train: springs as bought, and what went on the scale. All made up."""

from dataclasses import replace
from random import Random

from tenths.services.demo_hand import Hand

KESTREL_TRAIN: tuple[tuple[str, str, str, str, str], ...] = (
    ("valve.1.*", "spring-rate", "86.0 N/mm", "1.5 N/mm", "of the springs"),
    ("valve.1.*", "spring-free-height", "57.0", "0.3", "of the springs"),
    ("valve.1.*", "installed-height", "47.5", "0.2", "of the springs"),
    ("valve.1.*", "bind-height", "31.2", "0.2", "of the springs"),
    ("valve.1.*", "rocker-ratio", "1.65", "0.01", "of the rockers"),
    ("valve.1.*", "rocker-arm", "38.6", "0.2", "of the rockers"),
    ("valve.1.*", "lash", "0.30", "0.02", "of the camshaft"),
    ("engine", "rocker-inertia", "0.42 kg cm2", "0.03 kg cm2", "of the rockers"),
    ("engine", "push-rod-stiffness", "52000 N/mm", "4000 N/mm", "worked from its tube"),
    ("engine", "lobe-width", "14.2", "0.2", "of the camshaft"),
    ("engine", "follower-radius", "9.5", "0.1", "of the lifters"),
    ("engine", "touching", "steel on a roller", "", "of the lifters"),
)
WEIGHTS = (("valve", "in", "weight", 104.0), ("valve", "ex", "weight", 88.5), ("valve", "", "retainer-weight", 23.6),
           ("valve", "", "spring-weight", 96.0), ("valve", "", "push-rod-weight", 54.2), ("lifter", "", "weight", 108.5))


def weigh_train(hand: Hand) -> None:
    """Valves, retainers, springs, push-rods and lifters of the first cylinder on the scale."""
    hand = replace(hand, chance=Random(36))  # noqa: S311 - made-up readings; its own scatter, so that what is read after it stays as it is
    for kind, valve, feature, grams in WEIGHTS:
        for name in (valve,) if valve else ("in", "ex"):
            hand.read(f"{kind}.1.{name}", feature, grams, "scale", scatter=0.1, digits=1)
