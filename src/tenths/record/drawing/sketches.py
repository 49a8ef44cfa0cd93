"""The small drawings of how a reading is taken, by name: one for every feature that can be read or stated."""

from collections.abc import Callable
from functools import cache
from xml.sax.saxutils import escape

from tenths.errors import BadInput
from tenths.record.drawing import sketch_cylinders as c
from tenths.record.drawing import sketch_form as f
from tenths.record.drawing import sketch_gear as v
from tenths.record.drawing import sketch_head as h
from tenths.record.drawing import sketch_outside as o
from tenths.record.drawing import sketch_shafts as s
from tenths.record.drawing.gauges import HEIGHT, WIDTH
from tenths.record.drawing.pen import Pen, attributes, hatches

# name: (what it shows in words, who draws it)
SKETCHES: dict[str, tuple[str, Callable[[Pen], None]]] = {
    "balancer": ("Crank with its bobweights on the balancer, front and rear plane", s.balancer),
    "ball-micrometer-shell": ("Ball micrometer on the crown of a shell", s.ball_micrometer),
    "bore-gauge-bush": ("Bore gauge rocked in a small bore, two axes", s.bore_gauge_bush),
    "bore-gauge-cylinder": ("Bore gauge rocked in a cylinder, at its heights", c.bore_gauge_cylinder),
    "bore-gauge-housing": ("Bore gauge rocked in a housing with its cap on, axes A, B and C; B at right angles to the split",
                           s.bore_gauge_housing),
    "burette": ("Burette over a chamber under a clear plate", c.burette_chamber),
    "burette-piston": ("Burette over a piston that stands down its bore", c.burette_piston),
    "caliper-gasket": ("Caliper across the bore of a gasket", c.caliper),
    "compression-height": ("From the middle of the pin bore to the crown of the piston", c.compression_height),
    "deck-bridge": ("Dial indicator on a bridge across the deck, its tip on the piston", c.deck_bridge),
    "face-heights": ("Nine places of a face, dial indicator over one of them", f.face_heights),
    "line-of-mains": ("Block with its caps off, a bar over the saddles, dial indicator down in one of them", f.line_of_mains),
    "deck-height": ("From the crank's centre line to the deck", c.deck_height),
    "degree-wheel": ("Degree wheel on the crank's nose with a pointer at the block", s.degree_wheel),
    "depth-dowel": ("Depth micrometer over the dowel, from its face", s.depth_dowel),
    "end-play": ("Dial indicator in line with the shaft, which is levered to and fro", s.end_play),
    "feeler-bolt": ("Feeler between the turning part and the block", s.feeler_bolt),
    "feeler-groove": ("Feeler between ring and groove", c.feeler_groove),
    "feeler-pin": ("Feeler between piston pin and lock", c.feeler_pin),
    "feeler-ring": ("Feeler in the gap of a ring squared in its bore", c.feeler_ring),
    "feeler-side": ("Feeler between two rods on their crankpin", s.feeler_side),
    "groove-diameter": ("Blade micrometer in the ring groove", c.groove_diameter),
    "groove-height": ("Feelers as thick as the groove is high", c.groove_height),
    "land-height": ("From the crown down to the first groove", c.land_height),
    "micrometer-gasket": ("Micrometer across a tightened gasket", c.micrometer_gasket),
    "micrometer-journal": ("Outside micrometer across a journal", s.micrometer_journal),
    "micrometer-land": ("Outside micrometer across the top land of a piston", c.micrometer_land),
    "micrometer-ring": ("Micrometer across the height of a ring", c.micrometer_ring),
    "micrometer-ring-depth": ("Micrometer across the wall of a ring", c.micrometer_ring_depth),
    "micrometer-round": ("Outside micrometer across a round part", s.micrometer_round),
    "micrometer-skirt": ("Outside micrometer across the skirt at its gauge height", c.micrometer_skirt),
    "micrometer-width": ("Outside micrometer across the thrust faces of a big end", s.micrometer_width),
    "radius-gauge": ("Leaf of a radius gauge in the fillet between journal and cheek", s.radius_gauge),
    "rod-bend": ("Rod on the fixture, its pin not level with the mandrel when bent", s.rod_bend),
    "rod-length": ("Rod on the fixture, from middle to middle of its ends", s.rod_length),
    "rod-twist": ("Rod on the fixture from above, its pin not in line with the mandrel when twisted", s.rod_twist),
    "run-out": ("Crank on its end mains in vees, dial indicator on the middle main", s.run_out),
    "scale-part": ("A part on the scale", c.scale_part),
    "scale-rod": ("Rod with one end on the scale, the other hung level", s.scale_rod),
    "seal-centring": ("Dial indicator carried by the crank, swept round the seal's bore", o.seal_centring),
    "seat-run-out": ("Pilot in the guide, a dial indicator on it that follows the seat", h.seat_run_out),
    "seat-width": ("Seat over its throat, its width along the face by caliper", h.seat_width),
    "seal-wear": ("Dial indicator drawn across the track of the seal", s.seal_wear),
    "sheet": ("A size stated on a sheet", c.sheet),
    "shell-chamfer": ("Across the chamfer at the edge of a shell", s.shell_chamfer),
    "straight-edge-sprockets": ("Straight-edge over one sprocket, feeler at the other", s.straight_edge_sprockets),
    "stroke": ("Height of the crankpin at its top and at its bottom", s.stroke),
    "surface-gauge": ("Stylus of a surface gauge along the bore", c.surface),
    "telescope-width": ("Telescoping gauge between the cheeks", s.telescope_width),
    "chain-slack": ("Slack side of a chain or belt moved across half way, by caliper", o.chain_slack),
    "clay": ("Lump of clay between pick-up and pan, its thickness by caliper", o.clay),
    "depth-hole": ("Depth micrometer in a hole", o.depth_hole),
    "depth-pan": ("Straight-edge over the pan's rail, depth micrometer to its floor", o.pan_depth),
    "feeler-cover": ("Straight-edge over the pump's body, feeler down to its gears", o.feeler_cover),
    "feeler-gear": ("Feeler between a pump's gear and its body", o.feeler_gear),
    "gasket-stand-off": ("Gasket laid dry on its dowels, caliper from its ring to the bore", o.gasket_stand_off),
    "pick-up-height": ("Straight-edge over the pan rail of the block, caliper up to the pick-up's screen", o.pick_up_height),
    "throat": ("Bore gauge in the throat under a seat", h.throat),
    "valve-face": ("Valve with its stem in vees, dial indicator on its face", h.valve_face),
    "valve-head": ("Outside micrometer across the head of a valve", h.valve_head),
    "valve-margin": ("Caliper from the flat side of a valve's head to the corner of its face", h.valve_margin),
    "torque-wrench": ("Torque wrench on a cap's bolt", c.torque_wrench),
    "nose-height": ("Caliper from the rocker's pivot to its nose, along the valve stem", v.nose_height),
    "pocket-depth": ("Depth micrometer or caliper in the pocket of a piston's crown", v.pocket_depth),
    "push-rod": ("Caliper over the two ends of a push-rod, middle to middle", v.push_rod),
    "spring-height": ("Caliper from the spring seat to the retainer, valve closed", v.spring_height),
    "spring-tester": ("Spring between the plates of a tester, its height and load read", v.spring_tester),
    "valve-clay": ("Clay between valve and piston, its thinnest place by caliper", v.valve_clay),
    "valve-drop": ("Depth micrometer over the head's face, down to the closed valve", v.valve_drop),
    "valve-lash": ("Feeler between the rocker's nose and the tip of the valve", v.valve_lash),
    "valve-lift": ("Dial indicator on the retainer, in line with the stem", v.valve_lift),
    "valve-touch": ("Dial indicator on the retainer, the valve pushed down to the piston", v.valve_touch),
}


def sketch_words(kind: str) -> str:
    """What a small drawing shows, in words.

    Raises:
        BadInput: there is no drawing of that name.
    """
    if kind not in SKETCHES:
        raise BadInput(f"sketch: {kind!r} is not drawn; drawn are {', '.join(SKETCHES)}")
    return SKETCHES[kind][0]


@cache
def part_sketch(kind: str) -> str:
    """A small line drawing of how a reading is taken, 200 by 160 user units.

    Args:
        kind: what `Feature.shown` names, for example ``micrometer-journal``.

    Returns:
        The SVG, `<svg>` to `</svg>`, with its words as its name; what is read stands out in one colour.

    Raises:
        BadInput: there is no drawing of that name.
    """
    words = sketch_words(kind)
    pen = Pen(1.0, prefix=f"{kind}-")
    SKETCHES[kind][1](pen)
    pen.flush()
    head = attributes(xmlns="http://www.w3.org/2000/svg", class_="dr-sketch", role="img", width=WIDTH, height=HEIGHT,
                      viewBox=f"0 0 {WIDTH:g} {HEIGHT:g}", stroke_linejoin="round", stroke_linecap="round")
    return (f"<svg {head}><title>{escape(words)}</title>{hatches(pen.prefix)}"
            f'<g transform="translate(0 {HEIGHT:g})">{"".join(pen.parts)}</g></svg>')
