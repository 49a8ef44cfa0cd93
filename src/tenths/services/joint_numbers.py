"""The numbers of one bolted joint: preload and its scatter, share of proof and yield, reach, stripping, a rod's clamp at speed."""

from math import hypot, inf, pi, sqrt

from tenths.calc import joints as elastic
from tenths.calc import rodbolt, threads
from tenths.calc import tightening as calc
from tenths.engine.quantity import Quantity
from tenths.errors import TenthsError
from tenths.findings.check import rule_of
from tenths.findings.instruments import InstrumentBook
from tenths.logbook.build import Build
from tenths.logbook.joints import Joint
from tenths.metrology.decide import decide
from tenths.services.amounts import Amounts, Answer
from tenths.services.fasteners import LUBRICANTS, WRENCH, Friction, friction_of, head_radius, into_of, strength_of, thread_of
from tenths.services.shop import Shop

STEEL = 206e9  # Pa
PROOF_TO = 0.90  # of the proof load, a joint that is opened again: common practice, no source
YIELD_TO = 1.0  # of the yield strength, tension and twist together
OPENS = 1.5  # times the pull that a rod's joint is to hold: common practice, no source


class JointNumbers:
    """One joint worked out."""

    def __init__(self, shop: Shop, build: Build, joint: Joint, write: Amounts) -> None:
        self.shop, self.build, self.joint, self.write = shop, build, joint, write
        self.thread, self.friction, self.radius = thread_of(joint), friction_of(joint), head_radius(joint)
        self.strength, self.said = strength_of(joint)
        self.rule, self.notes = rule_of(build.house), list[str]()
        self.preload, self.u = self._preload()

    def _preload(self) -> tuple[float | None, float]:
        """Preload [N] and its standard uncertainty, by the joint's own method."""
        size = self.joint.sizes
        if self.joint.body.method == "stretch":
            if not self.joint.segments:
                self.notes.append("The preload follows from the stretch once the lengths and diameters of the free bolt are typed.")
                return None, 0.0
            force = elastic.preload_from_stretch(stretch=size["stretch"], segments=self._segments(), modulus=STEEL)
            gauge = 2.5e-6 * sqrt(2.0)  # two readings of a stretch gauge
            return force, force * hypot(gauge / size["stretch"], 0.03)  # 3 % for the lengths that stretch: common practice, no source
        snug = self._from_torque(size["torque"], self.friction)
        u = snug * self._scatter(self.friction)
        if self.joint.body.method == "torque":
            return snug, u
        return self._by_angle(snug, u)

    def _from_torque(self, torque: float, friction: Friction) -> float:
        return calc.preload_from_torque(torque=torque, thread=self.thread, thread_friction=friction.thread,
                                        head_friction=friction.head, head_radius=self.radius)

    def _scatter(self, friction: Friction) -> float:
        return calc.preload_scatter(
            thread=self.thread, thread_friction=friction.thread, head_friction=friction.head, head_radius=self.radius,
            torque_doubt=self._wrench(), thread_friction_doubt=friction.thread_doubt, head_friction_doubt=friction.head_doubt).total

    def _wrench(self) -> float:
        """Standard uncertainty of the wrench over its reading [-]."""
        torque, name = self.joint.sizes.get("torque", 0.0), self.joint.body.wrench
        if not name or name not in self.build.instruments or not torque:
            return WRENCH / sqrt(3.0)
        used = InstrumentBook(self.build).instrument(name, self.build.instruments[name][1].kind)
        limit = used.limit_of_error + (used.limit_relative or 0.0) * torque
        return hypot(limit / sqrt(3.0), used.resolution / sqrt(12.0), used.repeatability) / torque

    def _segments(self) -> list[elastic.Segment]:
        return [elastic.Segment(length, pi / 4 * d * d) for length, d in self.joint.segments]

    def stiffness(self) -> tuple[float, float] | None:
        """Of bolt and of what it clamps [N/m]; None where the free bolt was not typed."""
        if not self.joint.segments:
            return None
        bolt = elastic.bolt_stiffness(segments=self._segments(), modulus=STEEL)
        size = self.joint.sizes
        washer, hole = size.get("bearing", 1.5 * self.joint.diameter), size.get("hole", 1.1 * self.joint.diameter)
        thick = size.get("clamped") or sum(length for length, _ in self.joint.segments)
        modulus = 72e9 if into_of(self.joint)[0] in {"aluminium", "magnesium"} else STEEL
        plate = elastic.clamped_stiffness(hole=hole, washer=washer, thickness=thick / 2, modulus=modulus)
        return bolt, plate / 2  # both halves in a row

    def _by_angle(self, snug: float, u: float) -> tuple[float | None, float]:
        both = self.stiffness()
        if both is None:
            self.notes.append("The preload after the angle follows once the lengths and diameters of the free bolt are typed.")
            return None, 0.0
        force = elastic.preload_from_angle(snug=snug, angle=self.joint.sizes["angle"], pitch=self.joint.pitch, bolt=both[0], joint=both[1])
        doubt = hypot(u, 0.08 * (force - snug))  # the joint's stiffness is good to some 8 %: common practice, no source
        yields = self._yield_load()
        if yields and force > yields:
            self.notes.append("The angle takes the bolt beyond its yield: the preload stays at the yield load; count its uses.")
            return yields, 0.05 * yields
        return force, doubt

    def _yield_load(self) -> float | None:
        """Preload at which tension and twist use up the yield strength [N]."""
        if self.strength is None:
            return None
        return calc.preload_at_yield_share(thread=self.thread, yields=self.strength.yields, thread_friction=self.friction.thread, share=1.0)

    # what is told

    def findings(self) -> list[Answer]:
        """Everything that is judged or told of the joint."""
        mu = self.friction
        self.notes.append(f"Friction: {mu.thread:.3f} in the thread, {mu.head:.3f} under the head ({mu.said}).")
        rows = [*self._loads(), *self._reach(), *self._rod()]
        if self.strength is None:
            self.notes.append("Nothing is said of the bolt's strength: class, grade, or proof, yield and tensile strength.")
        return rows

    def _row(self, name: str, words: str, value: Answer, si: float, u: float, *, lower: float | None = None, upper: float | None = None,
             limit: str = "", source: str = "common practice, no source") -> Answer:
        judged = lower is not None or upper is not None
        verdict = str(decide(si, u, lower, upper, rule=self.rule, freedom=inf)) if judged else "no limit"
        return {"name": name, "words": words, **value, "verdict": verdict, "limit": limit, "authority": source if judged else ""}

    def _loads(self) -> list[Answer]:
        if self.preload is None:
            return []
        force, u, write, area = self.preload, self.u, self.write, self.thread.stress_area
        rows = [self._row("preload", "preload of one bolt", write.force(force, u), force, u),
                self._row("stress", "tension in the stress area", write.stress(force / area, u / area), force / area, u / area)]
        if self.joint.segments:
            stretch = elastic.bolt_stretch(preload=force, segments=self._segments(), modulus=STEEL)
            rows.append(self._row("expected-stretch", "stretch at that preload",
                                  write(stretch, Quantity.LENGTH, u / force * stretch if force else None), stretch, 0.0))
        if self.strength is None:
            return rows
        yields, proof = self._yield_load() or inf, self.strength.proof * area
        rows.append(self._share("proof-share", "preload over the proof load", force / proof, u / proof, PROOF_TO, self.said))
        rows.append(self._share("yield-share", "tension and twist over the yield strength", force / yields, u / yields, YIELD_TO,
                                "[VDI2230]"))
        return rows

    def _share(self, name: str, words: str, value: float, u: float, most: float, source: str) -> Answer:
        upper = None if "angle" in self.joint.sizes else most  # an angle may mean to go to the yield
        return self._row(name, words, self.write(value, Quantity.RATIO, u), value, u, upper=upper, limit=f"at most {most:.2f}",
                         source=f"common practice, no source; {source}")

    def _reach(self) -> list[Answer]:
        """Engagement, stripping, and whether the bolt bottoms."""
        size = self.joint.sizes
        if not {"length", "clamped", "thread_depth"} <= set(size):
            return []
        reach = threads.bolt_reach(length=size["length"], washer=size.get("washer", 0.0), clamped=size["clamped"],
                                   thread_depth=size["thread_depth"], counterbore=size.get("counterbore", 0.0),
                                   chamfer=size.get("chamfer", 0.0))
        name, tensile, wanted = into_of(self.joint)
        write, d = self.write, self.joint.diameter
        rows = [self._row("engagement", f"engagement in {name}", write(reach.engagement, Quantity.LENGTH, figures=3), reach.engagement, 0.0,
                          lower=wanted * d, limit=f"at least {write(wanted * d, Quantity.LENGTH, figures=3)['text']} ({wanted:g} d)"),
                self._row("to-bottom", "left to the end of the thread", write(reach.to_bottom, Quantity.LENGTH, figures=3), reach.to_bottom,
                          0.0, lower=self.joint.pitch, limit="at least one thread")]
        if self.strength is None:
            return rows
        strip = threads.stripping(thread=self.thread, engagement=reach.engagement, bolt_tensile=self.strength.tensile, nut_tensile=tensile)
        weakest, least = min((("thread of the bolt", strip.bolt_thread), ("thread it goes into", strip.nut_thread)), key=lambda p: p[1])
        ratio = least / (self.preload or strip.bolt_breaks)
        return [*rows, self._row("stripping", f"strength of the {weakest} over the preload", write(ratio, Quantity.RATIO, figures=3), ratio,
                                 0.1 * ratio, lower=1.25, limit="at least 1.25")]

    def _rod(self) -> list[Answer]:
        """A rod's bolts at the highest speed: what clamp is left, and how the threads tire."""
        if not self.joint.body.stations.startswith("rod.") or self.preload is None:
            return []
        pulls = [(f.value or f.expected, f.standard_uncertainty or 0.0) for f in self.shop.checked(self.build)
                 if f.characteristic.name == "rod-pull" and (f.value or f.expected)]
        if not pulls:
            self.notes.append("Clamp left at speed follows once pistons, pins and rod ends are weighed.")
            return []
        pull, u = max((p / self.joint.count, u / self.joint.count) for p, u in pulls if p is not None)
        both = self.stiffness()
        share = elastic.load_share(bolt=both[0], joint=both[1]) if both else 0.2  # common practice, no source
        found = rodbolt.bolted_joint(preload=self.preload, pull=pull, share=share, stress_area=self.thread.stress_area, margin=OPENS)
        spare, doubt = self.preload - found.preload_needed, hypot(self.u, (1 - share) * OPENS * u)
        rows = [self._row("pull", "pull on one bolt at the highest speed", self.write.force(pull, u or None), pull, u),
                self._row("clamp-left", "clamp left at that pull", self.write.force(found.clamp_left, doubt), found.clamp_left, doubt,
                          lower=0.0, limit="above 0"),
                self._row("preload-spare", f"preload less what holds {OPENS:g} times the pull", self.write.force(spare, doubt), spare,
                          doubt, lower=0.0, limit="above 0")]
        return [*rows, *self._tires(found)]

    def _tires(self, found: rodbolt.BoltedJoint) -> list[Answer]:
        try:
            bears = rodbolt.endurance_amplitude(diameter=self.joint.diameter)
        except TenthsError:
            return []
        margin = bears / found.amplitude if found.amplitude > 0 else 99.0
        return [self._row("fatigue", "stress that the thread bears for ever over its swing", self.write(margin, Quantity.RATIO, figures=3),
                          margin, 0.15 * margin, lower=1.5, limit="at least 1.5", source="common practice, no source; [VDI2230]")]

    def swaps(self) -> list[Answer]:
        """What another lubricant would change, for a torque that was given for one."""
        torque = self.joint.sizes.get("torque")
        if not torque:
            return []
        given = self.joint.body.given_for.lower() or self.joint.body.lubricant.lower()
        old = friction_of(self.joint) if given == self.joint.body.lubricant.lower() else friction_of(self.joint, given)
        rows: list[Answer] = []
        for name in LUBRICANTS:
            if name == given:
                continue
            new = friction_of(self.joint) if name == self.joint.body.lubricant.lower() else friction_of(self.joint, name)
            swap = calc.lubricant_swap(torque=torque, thread=self.thread, head_radius=self.radius, old_thread_friction=old.thread,
                                       old_head_friction=old.head, new_thread_friction=new.thread, new_head_friction=new.head)
            rows.append({"from": given, "to": name, "same_torque": self.write.force(swap.same_torque_preload),
                         "ratio": round(swap.ratio, 3), "same_preload": self.write(swap.same_preload_torque, Quantity.TORQUE, figures=3),
                         "used": name == self.joint.body.lubricant.lower()})
        self.notes += [f"The torque was given for {given}; with {row['to']} the same preload takes {row['same_preload']['text']}."
                       for row in rows if row["used"]]
        return rows
