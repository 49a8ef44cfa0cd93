"""The tour of the README, run to the letter: an engine typed in from nothing ends with a record."""

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

README = Path(__file__).parents[2] / "README.md"


def tour() -> list[str]:
    block = re.search(r"<!-- tour -->(.*)<!-- /tour -->", README.read_text("utf-8"), re.DOTALL)
    assert block
    return [line.strip() for line in block[1].splitlines() if line.strip()]


@pytest.fixture
def run(tmp_path):
    def command(line: str) -> str:
        words = shlex.split(line)
        assert words[0] == "tenths"
        done = subprocess.run([sys.executable, "-m", "tenths", "--shop", str(tmp_path / "shop"), *words[1:]], cwd=tmp_path,
                              capture_output=True, text=True, encoding="utf-8", check=False)
        assert done.returncode == 0, done.stderr
        return done.stdout

    return command


def test_the_tour_ends_with_a_record(run, tmp_path):
    lines = tour()
    assert len(lines) <= 10
    answers = {line: run(line) for line in lines}
    check = answers["tenths check blue-three"]
    # by hand: bore (2.1272 + 2.1271)/2, journal (2.1250 + 2.1249 + 2.1250)/3: clearance 0.00218 in
    assert re.search(r"main\.1\s+0\.00218", check)
    pdf = (tmp_path / "blue-three.pdf").read_bytes()
    assert pdf.startswith(b"%PDF-")
    assert "blue-three" in run("tenths engines")
