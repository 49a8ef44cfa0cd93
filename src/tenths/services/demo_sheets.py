"""The invented sheets, instruments and house rules of the demo shop."""

from tenths.logbook.bodies import InstrumentListed, LimitStated

SizeRow = tuple[str, str, str, str, str]  # station, feature, text, tolerance, page

DUE = {"test-dial": "2026-02-15"}  # it should have been sent away two weeks before the first reading
RANGES = {
    "mic-0-1": ("0 in", "1 in"), "mic-2-3": ("2 in", "3 in"), "mic-3-4": ("3 in", "4 in"), "ball-mic": ("0 in", "1 in"),
    "bore-gauge-s": ("2 in", "6 in"), "bore-gauge-l": ("2 in", "6 in"), "mic-0-25": ("0 mm", "25 mm"),
    "mic-50-75": ("50 mm", "75 mm"), "mic-75-100": ("75 mm", "100 mm"), "bore-gauge-mm": ("50 mm", "150 mm"),
    "ball-mic-mm": ("0 mm", "25 mm"),
}
INSTRUMENTS: tuple[InstrumentListed, ...] = tuple(
    InstrumentListed(instrument=key, kind=kind, name=name, limit_of_error=limit, due=DUE.get(key, "2027-01-31"),
                     **dict(zip(("range_from", "range_to"), RANGES.get(key, ()), strict=False)))
    for key, kind, name, limit in (
        ("mic-0-1", "outside-micrometer", "Micrometer 0-1 in", "0.5 tenths"),
        ("mic-2-3", "outside-micrometer", "Micrometer 2-3 in", "1.5 tenths"),
        ("mic-3-4", "outside-micrometer", "Micrometer 3-4 in", "1.5 tenths"),
        ("mic-inside", "inside-micrometer", "Inside micrometer", "2 tenths"),
        ("bore-gauge-s", "bore-gauge", "Bore gauge 2-6 in, short", "0.5 tenths"),
        ("bore-gauge-l", "bore-gauge", "Bore gauge 2-6 in, long", "0.5 tenths"),
        ("bore-gauge-p", "bore-gauge", "Bore gauge for piston pins", "0.3 tenths"),
        ("test-dial", "test-indicator", "Test indicator", "1 tenths"),
        ("ball-mic", "ball-micrometer", "Ball micrometer 0-1 in", "1 tenths"),
        ("indicator", "dial-indicator", "Dial indicator", "5 tenths"),
        ("deck-dial", "test-indicator", "Test indicator on the deck bridge", "1 tenths"),
        ("feeler", "feeler", "Feeler stock", "2 tenths"),
        ("gap-feeler", "ring-gap-feeler", "Ring-gap feelers", "2 tenths"),
        ("burette", "burette", "Burette 100 cc", "0.1 cc"),
        ("scale", "scale", "Scale 2 kg", "0.2 g"),
        ("mic-0-25", "outside-micrometer", "Micrometer 0-25 mm", "4 µm"),
        ("mic-50-75", "outside-micrometer", "Micrometer 50-75 mm", "4 µm"),
        ("mic-75-100", "outside-micrometer", "Micrometer 75-100 mm", "5 µm"),
        ("mic-inside-mm", "inside-micrometer", "Inside micrometer, metric", "5 µm"),
        ("bore-gauge-mm", "bore-gauge", "Bore gauge 50-150 mm", "1.5 µm"),
        ("ring-69", "ring", "Setting ring 69 mm", "1.3 µm"),
        ("ring-65", "ring", "Setting ring 65 mm", "1.3 µm"),
        ("ball-mic-mm", "ball-micrometer", "Ball micrometer 0-25 mm", "2.5 µm"),
        ("indicator-mm", "dial-indicator", "Dial indicator, metric", "12 µm"),
        ("deck-dial-mm", "test-indicator", "Test indicator on the deck bridge, metric", "3 µm"),
        ("gap-feeler-mm", "ring-gap-feeler", "Ring-gap feelers, metric", "5 µm"),
    )
)

HOUSE_RULES = """\
# House rules of the demo shop. A finding that the maker's sheet says nothing about is judged by these.
skip = ["fillet-clearance", "seal-wear", "rod-bend", "rod-twist", "sprocket-offset", "throw-index"]

[decision]
accept = 0.95
reject = 0.05

[temperature]
reach = "1 h"

[[limit]]
characteristic = "main-oil-clearance"
lower = "0.0018 in"
upper = "0.0028 in"
target = "0.0023 in"
source = "house rules, 2.4 to 2.6 in journals"

[[limit]]
characteristic = "rod-oil-clearance"
lower = "0.0017 in"
upper = "0.0027 in"
target = "0.0022 in"
source = "house rules, 2.0 to 2.2 in journals"

[[limit]]
characteristic = "deck-spread"
upper = "0.002 in"
source = "house rules"
"""

MARIGOLD_SIZES: tuple[SizeRow, ...] = (
    ("cyl.*", "bore", "3.8200", "0.0005", "2"),
    ("pin.*", "stroke", "3.6250", "0.0010", "2"),
    ("rod.*", "rod-length", "6.2000", "0.0005", "2"),
    ("cyl.*.piston", "compression-height", "1.5600", "0.0010", "2"),
    ("deck.A", "deck-height", "9.5740", "0.0020", "2"),
    ("cyl.*.piston", "dish-volume", "8.0 cc", "0.2 cc", "2"),
    ("gasket.A", "gasket-bore", "3.900", "0.005", "4"),
    ("gasket.A", "gasket-thickness", "0.0390", "0.0010", "4"),
    ("main.*", "journal", "2.4890", "0.0005", "3"),
    ("main.*", "housing-bore", "2.6810", "0.0005", "3"),
    ("main.*.shell.*", "shell-wall", "0.0948", "0.0002", "3"),
    ("pin.*", "journal", "2.1140", "0.0005", "3"),
    ("rod.*", "housing-bore", "2.2382", "0.0003", "3"),
    ("rod.*.shell.*", "shell-wall", "0.0609", "0.0002", "3"),
    ("engine", "redline", "4200 rpm", "", "1"),
    ("engine", "intake-closes", "48 deg", "", "5"),
    ("engine", "fuel-octane", "98", "", "1"),
    ("engine", "octane-model", "-1", "2", "of the dyno book"),
    ("engine", "bore-spacing", "4.400", "", "2"),
    ("engine", "main-width", "1.250", "", "3"),
    ("engine", "pin-width", "1.270", "", "3"),
    ("cyl.*.piston", "skirt", "3.8176", "0.0004", "2"),
    ("cyl.*.pin", "diameter", "0.9272", "0.0001", "2"),
    ("chamber.*", "chamber-volume", "66.0 cc", "1.0 cc", "5"),
)

MARIGOLD_LIMITS: tuple[LimitStated, ...] = (
    LimitStated(station="thrust", characteristic="crank-end-play", lower="0.004", upper="0.009", source="sheet 3"),
    LimitStated(station="thrust", characteristic="end-play-upper", lower="0.004", upper="0.009", source="sheet 3"),
    LimitStated(station="cyl.*", characteristic="piston-to-wall", lower="0.0020", upper="0.0034", target="0.0027",
                source="sheet 2"),
)

KESTREL_SIZES: tuple[SizeRow, ...] = (
    ("cyl.*", "bore", "99.000 mm", "0.012", "1"),
    ("pin.*", "stroke", "88.000", "0.020", "1"),
    ("rod.*", "rod-length", "155.000", "0.015", "1"),
    ("cyl.*.piston", "compression-height", "34.880", "0.025", "2"),
    ("deck.*", "deck-height", "234.000", "0.050", "1"),
    ("cyl.*.piston", "dome-volume", "4.2 cc", "0.2 cc", "2"),
    ("cyl.*.piston", "pocket-volume", "5.6 cc", "0.2 cc", "2"),
    ("cyl.*.piston", "top-land-diameter", "98.45", "0.02", "2"),
    ("cyl.*.piston", "top-land-height", "6.0", "0.05", "2"),
    ("gasket.*", "gasket-bore", "101.0", "0.2", "2"),
    ("gasket.*", "gasket-thickness", "0.90", "0.03", "2"),
    ("main.*", "journal", "64.985", "0.008", "3"),
    ("main.*", "housing-bore", "69.008", "0.008", "3"),
    ("main.*.shell.*", "shell-wall", "1.982", "0.003", "3"),
    ("pin.*", "journal", "53.984", "0.008", "3"),
    ("rod.*", "housing-bore", "57.607", "0.006", "3"),
    ("rod.*.shell.*", "shell-wall", "1.784", "0.003", "3"),
    ("engine", "redline", "7000 rpm", "", "1"),
    ("engine", "intake-closes", "66 deg", "", "4"),
    ("engine", "fuel-octane", "104", "", "1"),
    ("engine", "octane-model", "-1", "2", "of the dyno book"),
    ("engine", "bore-spacing", "112.0", "", "1"),
    ("engine", "main-width", "26.0", "", "3"),
    ("engine", "pin-width", "49.6", "", "3"),
    ("engine", "pin-offset", "0.5", "", "2"),
    ("cyl.*.piston", "skirt", "98.938", "0.010", "2"),
    ("chamber.*", "chamber-volume", "58.0 cc", "0.6 cc", "4"),
    ("engine", "intake-valve-head", "53.0", "", "of the head"),
    ("engine", "exhaust-valve-head", "41.0", "", "of the head"),
    ("engine", "intake-valve-lift", "13.6", "", "of the camshaft"),
    ("engine", "exhaust-valve-lift", "13.4", "", "of the camshaft"),
    ("engine", "intake-duration", "280 deg", "", "of the camshaft"),
    ("engine", "exhaust-duration", "286 deg", "", "of the camshaft"),
    ("engine", "intake-centre", "106 deg", "", "of the camshaft"),
    ("engine", "exhaust-centre", "112 deg", "", "of the camshaft"),
    ("engine", "runner-length", "265", "", "with a string"),
    ("engine", "plenum-volume", "4200 cc", "", "of the manifold"),
    ("engine", "throttle-bore", "90", "", "of the manifold"),
    ("engine", "primary-length", "790", "", "with a string"),
    ("engine", "primary-diameter", "45", "", "with a caliper"),
)

KESTREL_LIMITS: tuple[LimitStated, ...] = (
    LimitStated(station="main.*", characteristic="main-oil-clearance", lower="0.044", upper="0.074", target="0.058",
                source="sheet 3"),
    LimitStated(station="rod.*", characteristic="rod-oil-clearance", lower="0.040", upper="0.070", target="0.055",
                source="sheet 3"),
    LimitStated(station="cyl.*", characteristic="piston-to-wall", lower="0.055", upper="0.085", target="0.070",
                source="sheet 2"),
    LimitStated(station="pin.*", characteristic="rod-side-clearance", lower="0.25", upper="0.50", source="sheet 3"),
    LimitStated(station="cyl.*.ring.top", characteristic="ring-end-gap", lower="0.40", upper="0.50", target="0.44",
                source="sheet 2"),
    LimitStated(station="cyl.*.ring.second", characteristic="ring-end-gap", lower="0.45", upper="0.60", target="0.50",
                source="sheet 2"),
    LimitStated(station="cyl.*", characteristic="squish-clearance", lower="0.90", upper="1.15", target="1.00",
                source="sheet 2"),
)
