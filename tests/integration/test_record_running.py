"""The running engine in the record: only what rests on sizes that somebody read or stated."""

import re

from shops import shop_in_memory
from tenths.logbook import bodies
from tenths.record.report import record_pdf
from tenths.record.report_running import running
from tenths.services import commands


def test_kestrel_has_every_part_and_its_pictures(demo_shop):
    told, files = running(demo_shop, "kestrel", "")
    assert {"balance", "joints", "clear", "forces", "loads", "torsion", "film", "train", "pull"} <= set(told)
    shown = (
        told["forces"]["plot"], *told["loads"]["plots"], *told["torsion"]["plots"], *told["film"]["plots"], *told["pull"]["plots"],
        *told["joints"], told["clear"], *told["train"]["plots"],
    )  # fmt: skip
    assert {part["file"] for part in shown} <= set(files)
    assert all(text.startswith("<svg") for text in files.values())
    assert told["joints"][1]["wrong"] == ["rod 2, no. 2: grown by 0.027 mm: throw it away"]


def test_what_rests_on_guesses_is_not_handed_out(demo_shop):
    """Nobody weighed anything of Marigold, and nothing is said of its joints; its first lobe was read on the wheel."""
    told, files = running(demo_shop, "marigold", "")
    assert list(told) == ["cam"]
    assert sorted(files) == sorted(plot["file"] for plot in told["cam"]["plots"])


def test_units_are_those_asked_for(demo_shop):
    inch, _ = running(demo_shop, "kestrel", "inch")
    assert "lbf" in inch["loads"]["mains"][0][1]
    assert re.search(r"\d lbf ft", inch["joints"][0]["rounds"])


def test_a_joint_alone_is_shown(tmp_path):
    shop = shop_in_memory(tmp_path)
    engine = commands.open_engine(shop, name="Teal", layout="inline-4")
    shop.append(engine, bodies.JointStated(joint="caps", words="main caps", stations="main.*", pattern="2", thread="1/2-13",
                                           strength="grade 8", torque="75 lbf ft", together=True))
    told, files = running(shop, engine, "")
    assert list(told) == ["joints"]
    assert list(files) == ["joint-caps.svg"]
    assert record_pdf(shop, engine).startswith(b"%PDF")
