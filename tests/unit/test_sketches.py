"""The small drawings of how a reading is taken: every feature has one, and it shows the instrument that is named."""

import re
from xml.etree import ElementTree as ET

import pytest

from tenths.engine.features import FEATURES
from tenths.errors import BadInput
from tenths.record.drawing import SKETCHES, part_sketch, sketch_words

SVG = "{http://www.w3.org/2000/svg}"
# what a shop calls the instrument, in the words of its drawing (common practice, no source)
SHOWN = {"outside-micrometer": "micrometer", "ball-micrometer": "ball micrometer", "bore-gauge": "bore gauge",
         "dial-indicator": "dial indicator", "degree-wheel": "degree wheel", "feeler": "feeler", "ring-gap-feeler": "feeler",
         "scale": "scale", "balancer": "balancer", "burette": "burette", "caliper": "caliper", "radius-gauge": "radius gauge",
         "rod-fixture": "fixture",
         "surface-gauge": "surface gauge",
         "telescope-gauge": "telescoping gauge", "torque-wrench": "torque wrench"}
NOT_SHOWN = {"stroke"}  # the sketch shows the two heights on a stand


@pytest.mark.parametrize("feature", FEATURES, ids=lambda f: f"{f.kinds[0]}-{f.name}")
def test_every_feature_has_a_drawing_of_its_instrument(feature):
    words = sketch_words(feature.shown).lower()
    if not feature.stated_only and feature.instrument in SHOWN and feature.shown not in NOT_SHOWN:
        assert SHOWN[feature.instrument] in words


def test_every_drawing_is_of_some_feature():
    assert set(SKETCHES) == {feature.shown for feature in FEATURES}


@pytest.mark.parametrize("kind", SKETCHES)
def test_a_drawing_says_what_it_shows_and_marks_what_is_read(kind):
    root = ET.fromstring(part_sketch(kind))  # noqa: S314 - made by us
    assert root.get("role") == "img"
    assert root.findtext(f"{SVG}title") == SKETCHES[kind][0]
    if kind not in {"scale-part", "scale-rod", "surface-gauge", "torque-wrench"}:
        assert root.findall(f".//{SVG}g[@class='dr-reach']"), "nothing stands out as what is read"


def test_drawings_of_one_page_do_not_share_an_id():
    ids = [name for kind in SKETCHES for name in re.findall(r' id="([^"]+)"', part_sketch(kind))]
    assert len(ids) == len(set(ids))
    for kind in SKETCHES:
        used = set(re.findall(r"url\(#([^)]+)\)", part_sketch(kind)))
        assert used <= set(re.findall(r' id="([^"]+)"', part_sketch(kind)))


def test_a_drawing_that_is_none_is_refused_by_name():
    with pytest.raises(BadInput, match=r"sketch: 'divining-rod' is not drawn; drawn are balancer, ball-micrometer-shell"):
        part_sketch("divining-rod")
