"""The pull of a demo engine: from its own sizes to answers and command line."""

import json

import pytest
from click.testing import CliRunner

from tenths.cli import tenths
from tenths.errors import BadInput
from tenths.services import running_pull
from tenths.services.demo import lay_demo
from tenths.services.shop import open_shop


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    found = open_shop(tmp_path_factory.mktemp("pull"), person="Ines Vale")
    lay_demo(found)
    yield found
    found.logbook.close()


def test_a_pull_settles_and_its_numbers_hang_together(shop):
    answer = running_pull.pulled(shop, "kestrel", "metric", speeds=3)
    assert answer["settled"]
    for row in answer["points"]:
        assert row["power"]["value"] == pytest.approx(row["torque"]["value"] * row["speed"]["value"] * 3.141592653589793 / 30e3, rel=1e-6)
        assert row["specific"]["value"] == pytest.approx(row["fuel"]["value"] / row["power"]["value"] * 1e3, rel=1e-6)
        assert row["mass_error"] < 1e-3
        assert row["energy_error"] < 1e-3
        # a bound of any spark-ignition engine at full throttle: [Heywood] section 15.5, 0.6 to 1.15 in filling, 240 g/kWh at best
        assert 0.5 < row["filling"]["value"] < 1.2
        assert row["specific"]["value"] > 220.0


def test_a_longer_runner_moves_the_filling_down_in_speed(shop):
    """Quarter wave and resonator alike tune lower when longer."""
    short, long = (
        running_pull.pulled(shop, "kestrel", "metric", speeds=5, given={"runner-length": text})["points"] for text in ("200 mm", "550 mm")
    )
    gain = [b["filling"]["value"] - a["filling"]["value"] for a, b in zip(short, long, strict=True)]
    assert gain[1] > gain[-1]
    assert gain[-1] < 0.0


def test_command_and_what_it_refuses(shop):
    runner = CliRunner()
    base = ["--shop", str(shop.folder), "pull", "kestrel", "--speeds", "2"]
    told = runner.invoke(tenths, [*base, "--with", "plenum-volume=0", "--json"])
    assert told.exit_code == 0, told.output
    answer = json.loads(told.output)
    assert len(answer["points"]) == 2
    assert next(size for size in answer["sizes"] if size["name"] == "plenum-volume")["origin"] == "tried"
    with pytest.raises(BadInput, match="'runner' is no size of the gas side"):
        running_pull.pulled(shop, "kestrel", given={"runner": "1"})
    with pytest.raises(BadInput, match="speeds: 1 is not from 2 to 60"):
        running_pull.pulled(shop, "kestrel", speeds=1)
