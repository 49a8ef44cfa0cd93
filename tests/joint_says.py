"""What the samples of entries about joints, fasteners and outlines say."""

from tenths.logbook import bodies

JOINT_SAYS = {
    "joint.stated": bodies.JointStated(
        joint="rod-bolts", words="rod bolts", stations="rod.*", pattern="2", thread="3/8-24", together=True, order=(2, 1),
        strength="grade 8", proof="120 ksi", yields="130 ksi", tensile="150 ksi", length="1.600", washer="0.060", clamped="1.100",
        thread_depth="0.900", counterbore="0.050", chamfer="0.040", bearing="0.5625", hole="0.397", into="steel",
        segments=("0.800 x 0.315", "0.400 x 0.375"), method="torque and angle", torque="45", angle="60 deg", stretch="0.0060",
        steps=("50 %", "45 lbf ft"), lubricant="paste", given_for="oil", thread_friction="0.10", head_friction="0.09",
        wrench="wrench-1", uses=3, growth="0.001", source="sheet 6"),
    "fastener.ticked": bodies.FastenerTicked(
        joint="rod-bolts", station="rod.2", number=2, what="tightened", round=2, value="45 lbf ft", free_length="1.6002",
        tight_length="1.6060", instrument="mic-2-3", note="no chatter"),
    "variant.kept": bodies.VariantKept(
        variant="long runners", sizes={"runner-length": "14 in", "throttle-bore": "3.5"},
        words="for the hill"),
    "outline.drawn": bodies.OutlineDrawn(
        outline="rod-bolt", words="head of the rod bolt", moves_with="rod", points=("-0.60 / 1.30", "0.60 / 1.30"),
        radius="0.050", clears=("camshaft",), least="0.050", cylinder="2", source="sketch"),
}
