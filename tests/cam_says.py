"""What the samples of entries about camshafts say."""

from tenths.logbook import bodies

CAM_SAYS = {
    "wheel.zeroed": bodies.WheelZeroed(
        cylinder="1", before=("28.5 BTDC", "-40"), after=("31.5", "43 ATDC"), way="heights", moved=False, approach="both sides",
        read_to="0.5 deg", wheel_good_to="0.3 deg", height_good_to="0.0005 in", instrument="wheel-11", note="rocker shaft off"),
    "lobe.read": bodies.LobeRead(
        station="lobe.2.ex", points=(bodies.LobePoint(angle="65 BBDC", lift="0.012"), bodies.LobePoint(angle="-110", lift="0.431 in")),
        at="valve", ratio="1.6", approach="both sides", read_to="1 deg", lift_good_to="0.001 in", instrument="dial-1", note="light spring"),
    "wheel.moved": bodies.WheelMoved(note="pointer was knocked"),
    "cam.carded": bodies.CamCarded(
        intake_lift="0.350 in", exhaust_lift="0.345 in", intake_durations=("226 @ 0.050 in", "272 @ 0.006 in"),
        exhaust_durations=("230 @ 0.050 in",), separation="110", advance="4", intake_centre="106", exhaust_centre="114",
        events="22-62-66-18 @ 0.006 in", base_circle="1.25 in", follower="flat", source="card 14"),
    "timing.moved": bodies.TimingMoved(advance="-2", position="key 3", shaft="1", note="two degrees later"),
}
