"""The template of house rules: harmless as it is, and right once its lines hold."""

import re
import tomllib

from tenths.findings.rules import vet_house_rules
from tenths.services import commands, questions
from tenths.services.commands import house_template


def test_as_it_is_it_changes_nothing(shop):
    engine = commands.open_engine(shop, name="Trial", layout="inline-4")
    before = questions.findings(shop, engine)
    commands.adopt_house_rules(shop, house_template(), engine)
    assert questions.findings(shop, engine) == before
    assert tomllib.loads(house_template()) == {}


def test_each_of_its_lines_holds():
    text = re.sub(r"^#(?! )", "", house_template(), flags=re.MULTILINE)
    vet_house_rules(text)
    rules = tomllib.loads(text)
    assert rules.keys() == {"skip", "shop", "balance", "decision", "instruments", "temperature", "shells", "film", "limit"}
    assert [len(row) for row in rules["limit"]] == [5, 6]


def test_each_way_of_deciding_that_it_names_is_taken():
    ways = re.findall(r":   (\S+ = .+)$", house_template(), re.MULTILINE)
    assert len(ways) == 4
    for way in ways:
        vet_house_rules(f"[decision]\n{way}\n")
