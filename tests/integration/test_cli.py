"""The command line as a person and a script meet it: exit codes, widths, signs, and every example of its help."""

import json
import re
import shlex
import signal
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from tenths.cli import COMMANDS, run, tenths

LOOKS = [["engines"], ["instrument"], ["layouts"], ["instruments", "list"], ["instruments", "kinds"],
         ["instruments", "show", "bore-gauge-s"], ["temperature", "log"], ["temperature", "log", "kestrel"],
         ["how", "marigold", "main.3", "main-oil-clearance"], ["how", "kestrel", "cyl.3", "compression-ratio"],
         ["how", "kestrel", "crank", "crank-run-out"], ["together", "marigold"], ["together", "kestrel", "piston-to-wall"],
         ["ahead", "finish", "kestrel"], ["ahead", "next", "marigold"],
         *([name, engine, *more] for engine in ("marigold", "kestrel") for name, *more in (
    ["show"], ["show", "--station", "rod.5"], ["show", "--station", "cyl.1"], ["log"], ["check"], ["check", "--all"],
    ["check", "--units", "metric"], ["check", "--units", "inch"], ["choose"], ["next", "--most", "0"]))]
FIELDS = {"station", "characteristic", "value", "unit", "standard_uncertainty", "lower", "upper", "authority", "probability",
          "verdict", "entries"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The demo in a shop on disk, for tests that only look."""
    made = tmp_path_factory.mktemp("shop")
    assert run(["--shop", str(made), "demo"]) == 0
    return made


def spoken(folder, *words, encoding="utf-8", **more):
    environment = {"PYTHONIOENCODING": encoding, "PATH": "", "TENTHS_SHOP": str(folder), "TENTHS_PERSON": "Ada Quill"}
    return subprocess.run([sys.executable, "-m", "tenths", *words], capture_output=True, encoding="utf-8", check=False,
                          env=environment, **more)


@pytest.mark.parametrize("words", LOOKS, ids=" ".join)
def test_no_line_passes_eighty_columns(folder, capsys, words):
    assert run(["--shop", str(folder), *words]) == 0
    said = capsys.readouterr().out.splitlines()
    assert said
    assert [line for line in said if len(line) > 80] == []


@pytest.mark.parametrize("name", COMMANDS)
def test_help_teaches_in_eighty_columns(capsys, name):
    assert run([name, "--help"]) == 0
    said = capsys.readouterr().out
    assert all(len(line) <= 80 for line in said.splitlines())
    assert "\\b" not in said


def test_check_as_json_has_what_scripts_need(folder, capsys):
    for engine in ("marigold", "kestrel"):
        assert run(["--shop", str(folder), "check", engine, "--json"]) == 0
        rows = json.loads(capsys.readouterr().out)
        assert len(rows) > 100
        assert all(row.keys() >= FIELDS for row in rows)


@pytest.mark.parametrize(("words", "code", "says"), [
    (["check", "marigold"], 0, ""),
    (["check", "marigold", "--strict"], 1, ""),
    (["check", "marigold", "--strict", "--only", "main-journal-taper"], 0, ""),
    (["check", "nobody"], 2, r"engine: there is no 'nobody'; engines in this shop: kestrel, marigold"),
    (["check", "marigold", "--station", "foo"], 2, r"no finding at 'foo'"),
    (["check", "marigold", "--only", "foo"], 2, r"no finding named 'foo'"),
    (["next", "marigold", "--with", "foo"], 2, r"instrument: 'foo' is not listed; listed are mic-0-1"),
    (["features", "marigold", "foo"], 2, r"station: 'foo' is not on this engine"),
    (["read", "marigold", "main.1"], 2, r"Missing argument"),
    (["read", "marigold", "main.1", "journal", "2.24.85"], 2, r"2\.24\.85"),
    (["strike", "marigold", "9999", "why"], 2, r"entry: '9999': there is none"),
    (["nonsense"], 2, r"No such command"),
])
def test_exit_codes_and_what_errors_name(folder, capsys, words, code, says):
    assert run(["--shop", str(folder), *words]) == code
    assert re.search(says, capsys.readouterr().err)


def test_damage_has_a_code_of_its_own(folder, tmp_path, capsys):
    bundle = tmp_path / "m.zip"
    assert run(["--shop", str(folder), "export", "marigold", str(bundle)]) == 0
    assert run(["--shop", str(folder), "verify", str(bundle)]) == 0
    content = bytearray(bundle.read_bytes())
    content[len(content) // 2] ^= 1
    bundle.write_bytes(content)
    assert run(["--shop", str(folder), "verify", str(bundle)]) == 3
    assert run(["--shop", str(folder), "import", str(bundle)]) == 3
    assert "m.zip" in capsys.readouterr().err


def test_an_interrupt_is_told_apart(monkeypatch):
    def interrupted(_):
        raise KeyboardInterrupt
    monkeypatch.setattr(tenths, "get_command", lambda *_: click.Command("x", callback=lambda: interrupted(0)))
    assert run(["engines"]) == 128 + signal.SIGINT


def test_a_closed_pipe_is_no_failure(folder):
    command = f"{shlex.quote(sys.executable)} -m tenths --shop {shlex.quote(str(folder))}"
    for words in ("log marigold", "engines"):
        done = subprocess.run(["/bin/bash", "-c", f"{command} {words} | true; exit ${{PIPESTATUS[0]}}"], capture_output=True,
                              text=True, check=False)
        assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_is_said_in_a_sentence(folder):
    with Path("/dev/full").open("w") as full:
        done = subprocess.run([sys.executable, "-m", "tenths", "--shop", str(folder), "engines"], stdout=full,
                              stderr=subprocess.PIPE, text=True, check=False)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("words", [["check", "kestrel"], ["instrument"], ["choose", "kestrel"], ["show", "kestrel"],
                                   ["log", "kestrel"], ["check", "kestrel", "--json"]], ids=" ".join)
def test_an_ascii_terminal_gets_letters(folder, words):
    done = spoken(folder, *words, encoding="ascii")
    assert done.returncode == 0
    assert done.stdout.isascii()
    assert "?" not in done.stdout  # nothing that has letters of its own is lost


@pytest.mark.parametrize("value", ["-0.001", "+0.002"])
def test_values_may_begin_with_a_sign(tmp_path, value):
    assert run(["--shop", str(tmp_path), "demo"]) == 0
    done = spoken(tmp_path, "read", "marigold", "cyl.1", "deck-clearance", value)
    assert (done.returncode, done.stderr) == (0, "")
    assert f"{value}  read as " in done.stdout


def examples() -> list[str]:
    """Every example of every help text, in the order of a job."""
    found: list[str] = []

    def gather(command: click.Command) -> None:
        found.extend(line.strip() for line in (command.help or "").replace("\\\n", "").splitlines() if line.startswith("  tenths "))
        for other in getattr(command, "commands", {}).values():
            gather(other)
    for name in COMMANDS:
        command = tenths.get_command(click.Context(tenths), name)
        assert command
        gather(command)
    return list(dict.fromkeys(found))


def test_there_are_examples():
    assert len(examples()) > 30


@pytest.mark.parametrize("line", examples())
def test_every_example_of_the_help_works(tmp_path, monkeypatch, line):
    monkeypatch.chdir(tmp_path)
    shop = ["--shop", "shop"]
    assert run([*shop, "demo"]) == 0
    (tmp_path / "sheet.csv").write_text("station,feature,text,tolerance\ncyl.*,bore,3.8200 in,0.0005 in\n", "utf-8")
    (tmp_path / "readings.csv").write_text("station,feature,value\ncyl.1,deck-clearance,0.0012\n", "utf-8")
    (tmp_path / "mic-2-3.csv").write_text("size (in),error (tenths),uncertainty (tenths)\n2.0,0.2,0.6\n3.0,-0.3,0.6\n", "utf-8")
    (tmp_path / "logger.csv").write_text("time,temperature (°C)\n2026-03-02T08:00,20.5\n2026-03-02T09:00,21.0\n", "utf-8")
    (tmp_path / "ports.csv").write_text("cylinder;valve;lift (mm);flow (cfm)\n5;in;2.0;28\n5;in;4.0;55\n", "utf-8")
    (tmp_path / "lobes.csv").write_text("lobe;angle;lift (in)\nlobe.1.ex;-200;0.050\nlobe.1.ex;-110;0.260\nlobe.1.ex;-24;0.050\n", "utf-8")
    (tmp_path / "hands.csv").write_text("part,reader,trial,value\n1,A,1,2.1\n1,A,2,2.2\n2,A,1,2.3\n2,A,2,2.2\n", "utf-8")
    runner = CliRunner()
    template = runner.invoke(tenths, [*shop, "house", "--template"])
    (tmp_path / "house.toml").write_text(template.output, "utf-8")
    hash_ = json.loads(runner.invoke(tenths, [*shop, "log", "marigold", "--json"]).output)[-1]["hash"][:8]
    if "marigold.zip" in line:
        assert run([*shop, "export", "marigold"]) == 0
    words = shlex.split(re.sub(r"--hash \w+", f"--hash {hash_}", line.partition(" > ")[0]))[1:]
    done = runner.invoke(tenths, [*shop, *words])
    assert done.exit_code == 0, f"{line}: {done.output} {done.exception!r}"


def test_what_is_said_of_the_shop_may_stand_behind_the_command(folder, tmp_path, capsys):
    assert run(["engines", "--shop", str(folder)]) == 0
    assert run(["--shop", str(tmp_path), "engines", "--shop", str(folder)]) == 0
    assert capsys.readouterr().out.count("kestrel") == 2
    assert run(["demo", "--shop", str(tmp_path)]) == 0
    assert run(["note", "marigold", "cyl.1", "dry", "--person", "Bo Reed", "--shop", str(tmp_path)]) == 0
    capsys.readouterr()
    assert run(["log", "marigold", "--last", "1", "--json", "--shop", str(tmp_path)]) == 0
    assert json.loads(capsys.readouterr().out)[0]["person"] == "Bo Reed"


@pytest.mark.parametrize(("words", "says"), [
    (["read", "marigold", "cyl.1", "deck-clearance", "1", "--plce", "x"], "--plce"),
    (["next", "marigold", "--most", "-3"], "'-3' is not"),
    (["read", "marigold", "main.1", "housing-bore", "2.68", "--place", "B frnt"], "'B front' is near it"),
    (["read", "marigold", "pin.*", "side-clearance", "1", "2", "3", "4", "5"], "6 stations here, and 5 values"),
    (["read", "marigold", "pump.*", "side-clearance", "1"], "'pump.*' matches none"),
    (["read", "marigold", "main.1", "journal", "1", "--place", "1 front", "--place", "2 front"], "2 are given for 1 values"),
])
def test_a_slip_of_the_keyboard_is_no_reading(folder, capsys, words, says):
    assert run(["--shop", str(folder), *words]) == 2
    said = capsys.readouterr().err
    assert says in said
    assert "\0" not in said
    assert "x00" not in said


def test_values_are_dealt_out_to_the_stations_of_a_pattern(tmp_path, capsys):
    assert run(["--shop", str(tmp_path), "new", "Trial", "--layout", "inline-4"]) == 0
    words = ["read", "trial", "main.*", "journal", *(f"2.250{k}" for k in range(10)), "--place", "1 front", "--place", "2 REAR"]
    assert run(["--shop", str(tmp_path), *words]) == 0
    capsys.readouterr()
    assert run(["--shop", str(tmp_path), "log", "trial", "--json"]) == 0
    said = [row["sentence"] for row in json.loads(capsys.readouterr().out)[-10:]]
    assert said[0] == "read journal at main.1, 1 front: 2.2500"
    assert said[9] == "read journal at main.5, 2 rear: 2.2509"


def test_an_import_takes_nothing_that_nobody_agreed_to(tmp_path, capsys):
    assert run(["--shop", str(tmp_path), "new", "Trial", "--layout", "inline-4"]) == 0
    path = tmp_path / "r.csv"
    path.write_text("station,feature,value\nmain.1,journal,2.25\nmain.9,journal,2.25\n", "utf-8")
    take = ["import", str(path), "--engine", "trial"]
    for more, code in (([], 2), (["--dry-run"], 0), (["--json"], 0), (["--yes", "--all-or-nothing"], 2)):
        assert spoken(tmp_path, *take, *more, input="").returncode == code
    capsys.readouterr()
    assert run(["--shop", str(tmp_path), "log", "trial"]) == 0
    assert "read journal" not in capsys.readouterr().out
    assert run(["--shop", str(tmp_path), *take, "--yes"]) == 0
    said = capsys.readouterr().out
    assert "row 3" in said
    assert "1 readings taken" in said
    assert run(["--shop", str(tmp_path), *take, "--yes"]) == 0
    assert "1 were taken from this file before" in capsys.readouterr().out


@pytest.mark.parametrize("words", [[], ["part"]], ids=["tenths", "part"])
def test_a_bare_command_shows_its_help(capsys, words):
    assert run(words) == 0
    assert run([*words, "--help"]) == 0
    shown = capsys.readouterr().out
    assert shown[:len(shown) // 2].strip() == shown[len(shown) // 2:].strip()
