"""Joints of an engine: preload and stress with their scatter, engagement, order and rounds, ticks of every fastener."""

from collections.abc import Sequence
from dataclasses import dataclass

from tenths.calc import tightening as calc
from tenths.engine.quantity import Quantity
from tenths.engine.stations import pattern_matches, slots, station_map
from tenths.errors import BadInput, TenthsError
from tenths.logbook.build import Build
from tenths.logbook.joints import Joint, Tick
from tenths.services.amounts import Amounts, Answer
from tenths.services.fasteners import LUBRICANTS
from tenths.services.joint_numbers import JointNumbers
from tenths.services.questions import system_of
from tenths.services.shop import Shop

ROUNDS = (0.5, 0.75, 1.0)
GROWTH = 25.4e-6  # m: a bolt grown by a thou is thrown away; common practice, no source


def tightening(shop: Shop, engine: str, units: str = "") -> Answer:
    """All joints of an engine, each with its numbers, order, rounds and the state of its fasteners.

    Raises:
        BadInput: when there is no such engine.
    """
    build = shop.build(engine)
    write = Amounts(system_of(build, units))
    return {"engine": engine, "joints": [_answer(shop, build, joint, write) for joint in build.joints.values()],
            "lubricants": [{"lubricant": name, "friction": mu, "doubt": u} for name, (mu, u) in LUBRICANTS.items()],
            "position": build.position}


def one_joint(shop: Shop, engine: str, name: str, units: str = "") -> Answer:
    """One joint; raises BadInput naming those there are."""
    build = shop.build(engine)
    joint = build.joints.get(name)
    if joint is None:
        raise BadInput(f"joint: {name!r} is not stated; there are {', '.join(build.joints) or 'none yet'}")
    return _answer(shop, build, joint, Amounts(system_of(build, units)))


def _answer(shop: Shop, build: Build, joint: Joint, write: Amounts) -> Answer:
    body = joint.body
    where = stations_of(build, joint)
    answer: Answer = {
        "joint": body.joint, "words": body.words, "stations": list(where), "pattern": body.pattern, "together": body.together,
        "thread": body.thread, "strength": body.strength, "method": body.method, "lubricant": body.lubricant, "source": body.source,
        "torque": _typed(write, joint, "torque", Quantity.TORQUE), "angle": _typed(write, joint, "angle", Quantity.ANGLE),
        "stretch": _typed(write, joint, "stretch", Quantity.LENGTH), "count": joint.count * len(where), "wrench": body.wrench,
        "findings": [], "swaps": [], "notes": [], "order": order_of(joint, where), "places": placed(joint, where),
        "rounds": rounds_of(joint, write), "fasteners": fasteners(build, joint, where, write)}
    try:
        work = JointNumbers(shop, build, joint, write)
        answer |= {"findings": work.findings(), "swaps": work.swaps(), "notes": work.notes}
    except TenthsError as error:
        answer["notes"] = [str(error)]
    return answer


def _typed(write: Amounts, joint: Joint, name: str, quantity: Quantity) -> Answer:
    return {**write(joint.sizes.get(name), quantity), "typed": getattr(joint.body, name)}


def stations_of(build: Build, joint: Joint) -> tuple[str, ...]:
    """The stations (or slots) of a joint, in walking order."""
    known = dict.fromkeys((*station_map(build.layout), *slots(build.layout))) if build.layout else {}
    return tuple(one for one in known if pattern_matches(joint.body.stations, one))


# -- order and rounds --------------------------------------------------------------------------------------------------

def placed(joint: Joint, where: Sequence[str]) -> list[Answer]:
    """Every fastener of one face with its place (along, across) and its number in the order."""
    faces: list[tuple[str, ...]] = [tuple(where)] if joint.body.together else [(station,) for station in where[:1]]
    if not faces or not faces[0]:
        return []
    points = _points(joint, faces[0])
    order = {key: k + 1 for k, key in enumerate(_order(joint, faces[0]))}
    return [{"station": station if joint.body.together else "", "number": number, "along": x, "across": y, "order": order[station, number]}
            for (station, number), (x, y) in points.items()]


def _points(joint: Joint, face: Sequence[str]) -> dict[tuple[str, int], tuple[float, float]]:
    """Places of a face's fasteners; stations of one face stand one behind the other."""
    deep = max(x for x, _ in joint.places) - min(x for x, _ in joint.places) + 1.0
    return {(station, n): (x + k * deep, y) for k, station in enumerate(face) for n, (x, y) in enumerate(joint.places, 1)}


def _order(joint: Joint, face: Sequence[str]) -> list[tuple[str, int]]:
    """The fasteners of a face in the order of tightening: the maker's, else crosswise round a circle, else from the middle out."""
    keys = list(_points(joint, face).items())
    if joint.body.order:
        centre = (len(face) - 1) / 2
        from_middle = sorted(face, key=lambda s: (abs(face.index(s) - centre), face.index(s)))
        return [(station, n) for station in from_middle for n in joint.body.order]
    if "circle" in joint.body.pattern and len(face) == 1:
        return [keys[k][0] for k in calc.circle_sequence(count=len(keys))]
    return [keys[k][0] for k in calc.middle_out_sequence(places=[at for _, at in keys])]


def order_of(joint: Joint, where: Sequence[str]) -> list[Answer]:
    """All fasteners of the joint in the order of tightening, face by face."""
    faces = [tuple(where)] if joint.body.together else [(station,) for station in where]
    return [{"station": station, "number": number} for face in faces if face for station, number in _order(joint, face)]


def rounds_of(joint: Joint, write: Amounts) -> list[Answer]:
    """The rounds: torques as stated, else half, three quarters and all of it; then the angle."""
    torque, rows = joint.sizes.get("torque"), []
    if torque:
        steps = [value if is_torque else value * torque for value, is_torque in joint.steps] or list(
            calc.torque_steps(torque=torque, shares=ROUNDS) if joint.body.method == "torque" else [torque / 2, torque])
        rows = [{"round": k, "text": write(t, Quantity.TORQUE, figures=3)["text"], "value": write(t, Quantity.TORQUE)["value"],
                 "what": "torque"} for k, t in enumerate(steps, 1)]
    if "angle" in joint.sizes:
        angle = write(joint.sizes["angle"], Quantity.ANGLE, figures=3)
        rows.append({"round": len(rows) + 1, "text": angle["text"], "value": angle["value"], "what": "angle"})
    if joint.body.method == "stretch":
        aim = write(joint.sizes["stretch"], Quantity.LENGTH)
        rows.append({"round": len(rows) + 1, "text": f"stretch {aim['text']}", "value": aim["value"], "what": "stretch"})
    return rows


# -- what was done to each ---------------------------------------------------------------------------------------------

@dataclass(slots=True)
class _State:
    """A fastener as its ticks leave it."""

    state: str = "not touched"
    uses: int = 0
    round: int = 0
    by: str = ""
    first_free: float | None = None
    free: float | None = None
    tight: float | None = None
    value: str = ""

    def take(self, tick: Tick, last_round: int) -> None:
        """One more deed."""
        body = tick.body
        if body.what == "renewed":
            self.state, self.uses, self.round, self.first_free, self.free, self.tight = "not touched", 0, 0, None, None, None
        if tick.free_length is not None:
            self.first_free = tick.free_length if self.first_free is None else self.first_free
            self.free = tick.free_length
        self.tight = tick.tight_length if tick.tight_length is not None else self.tight
        self.by, self.value = tick.mark.person, body.value or self.value
        if body.what == "loosened":
            self.state, self.round, self.tight = "loosened", 0, None
        elif body.what == "checked":
            self.state = "checked"
        elif body.what == "tightened":
            final = body.round in {0, last_round}
            if final and self.state not in {"tightened", "checked"}:
                self.uses += 1
            self.state, self.round = ("tightened" if final else "under way"), body.round


def fasteners(build: Build, joint: Joint, where: Sequence[str], write: Amounts) -> list[Answer]:
    """Every fastener: state, uses, lengths, and what is the matter with it."""
    last = len(rounds_of(joint, write))
    states = {(station, n): _State() for station in where for n in range(1, joint.count + 1)}
    for tick in build.ticks:
        if tick.body.joint == joint.body.joint and (key := (tick.body.station, tick.body.number)) in states:
            states[key].take(tick, last)
    return [_fastener(joint, station, number, state, write) for (station, number), state in states.items()]


def _fastener(joint: Joint, station: str, number: int, state: _State, write: Amounts) -> Answer:
    stretch = state.tight - state.free if state.tight is not None and state.free is not None else None
    grown = state.free - state.first_free if state.free is not None and state.first_free is not None else None
    wrong: list[str] = []
    if joint.body.uses and state.uses > joint.body.uses:
        wrong.append(f"tightened {state.uses} times, {joint.body.uses} are allowed: throw it away")
    if grown is not None and grown > joint.sizes.get("growth", GROWTH) + 1e-9:
        wrong.append(f"grown by {write(grown, Quantity.LENGTH, figures=2)['text']}: throw it away")
    aim = joint.sizes.get("stretch")
    if stretch is not None and aim and abs(stretch - aim) > 0.1 * aim:
        wrong.append("stretch more than a tenth off what is wanted")
    return {"station": station, "number": number, "state": state.state, "uses": state.uses, "round": state.round, "by": state.by,
            "value": state.value, "free_length": write(state.free, Quantity.LENGTH), "tight_length": write(state.tight, Quantity.LENGTH),
            "stretch": write(stretch, Quantity.LENGTH, figures=3), "grown": write(grown, Quantity.LENGTH, figures=2), "wrong": wrong}
