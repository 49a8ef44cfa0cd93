"""The page on the command line is what the commands are, and leaves none of them out."""

import re

import pytest
from make_command_line import PAGE, page

from tenths.cli import run

WITHOUT_ROWS = {"--help", "--shop", "--person"}  # said once at the head of the page


def help_of(capsys, *words):
    assert run([*words, "--help"]) == 0
    return capsys.readouterr().out


def commands_in(text):
    """Names that a help text lists under Commands."""
    return re.findall(r"^  ([a-z][a-z-]*)(?:  |$)", text.partition("\nCommands:\n")[2].partition("\n\n")[0], re.MULTILINE)


def test_the_page_is_current():
    assert PAGE.read_text("utf-8") == page(), "run: .venv/bin/python docs/make_command_line.py"


def test_every_command_and_option_of_the_help_stands_on_the_page(capsys):
    written = PAGE.read_text("utf-8")
    asked = [[name] for name in commands_in(help_of(capsys))]
    assert len(asked) > 25
    while asked:
        words = asked.pop()
        text = help_of(capsys, *words)
        part = re.split(rf"^####? tenths {' '.join(words)}$", written, flags=re.MULTILINE)
        assert len(part) == 2, words
        here = re.split(r"^###", part[1], flags=re.MULTILINE)[0]
        options = set(re.findall(r"^  (?:-h, )?(--[a-z-]+)", text, re.MULTILINE))
        assert options
        assert [o for o in options - WITHOUT_ROWS if f"| `{o}" not in here] == [], words
        asked += [[*words, name] for name in commands_in(text)]


@pytest.mark.parametrize("said", ["--shop", "--person", "TENTHS_SHOP", "TENTHS_PERSON", "NO_COLOR", "130"])
def test_what_holds_for_every_command_is_said_once_at_its_head(said):
    assert said in PAGE.read_text("utf-8").partition("## Commands")[0]
