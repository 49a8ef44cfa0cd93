"""Docstrings of the calculations are read against the signatures, units included."""

import dataclasses
import importlib
import inspect
import re

import pytest
from make_validation import bibliography_keys, public_functions

FUNCTIONS = public_functions()
SECTION = re.compile(r"^(Args|Returns|Raises|Validity|Source):(.*)$", re.MULTILINE)
ITEM = re.compile(r"^    (\w+): (.*(?:\n      .*)*)", re.MULTILINE)
UNIT = re.compile(r"\[[^\]\s]+(?: [^\]\s]+){0,2}\]")
NUMBERS = re.compile(r"\b(float|complex|Angle|NDArray)\b")


def sections(docstring):
    """Text of each section by its name; what stands before the first is the summary."""
    parts = SECTION.split(inspect.cleandoc(docstring))
    return {"Summary": parts[0]} | {parts[i]: parts[i + 1] + parts[i + 2] for i in range(1, len(parts), 3)}


def needs_unit(annotation):
    """Whether numbers stand in it: records and words carry their units in their own description."""
    text = annotation if isinstance(annotation, str) else getattr(annotation, "__name__", str(annotation))
    return bool(NUMBERS.search(text))


@pytest.mark.parametrize("path", FUNCTIONS)
def test_docstring_agrees_with_signature(path):
    function = FUNCTIONS[path]
    said = sections(function.__doc__ or "")
    signature = inspect.signature(function)
    described = dict(ITEM.findall(said.get("Args", "")))
    assert list(described) == list(signature.parameters)
    for name, parameter in signature.parameters.items():
        assert parameter.annotation is not inspect.Parameter.empty, name
        assert UNIT.search(described[name]) or not needs_unit(parameter.annotation), f"{name} has no [unit]"
    assert UNIT.search(said["Returns"]) or not needs_unit(signature.return_annotation), "Returns has no [unit]"


@pytest.mark.parametrize("path", FUNCTIONS)
def test_docstring_says_range_and_source(path):
    said = sections(FUNCTIONS[path].__doc__ or "")
    assert said["Summary"].strip()
    assert said.get("Validity", "").strip()
    assert said.get("Source", "").strip()


@pytest.mark.parametrize("path", FUNCTIONS)
def test_keys_stand_in_the_bibliography(path):
    source = sections(FUNCTIONS[path].__doc__ or "").get("Source", "")
    keys = {key for key in re.findall(r"\[([A-Za-z][\w.-]*)\]", source) if not key.islower()}
    assert keys <= bibliography_keys()


@pytest.mark.parametrize("path", FUNCTIONS)
def test_raises_names_our_errors(path):
    function = FUNCTIONS[path]
    for name in re.findall(r"^    (\w+): ", sections(function.__doc__ or "").get("Raises", ""), re.MULTILINE):
        assert issubclass(getattr(importlib.import_module("tenths.errors"), name), Exception)


def records():
    """Every record that the calculations define."""
    found = []
    for module in sorted({function.__module__ for function in FUNCTIONS.values()}):
        members = inspect.getmembers(importlib.import_module(module), dataclasses.is_dataclass)
        found += [kind for name, kind in members if kind.__module__ == module and not name.startswith("_")]
    return found


@pytest.mark.parametrize("record", records(), ids=lambda record: record.__name__)
def test_records_describe_their_fields_with_units(record):
    text = inspect.cleandoc(record.__doc__ or "")
    described = dict(ITEM.findall(text.partition("Attributes:")[2]))
    for field in dataclasses.fields(record):
        assert field.name in described, field.name
        if needs_unit(field.type):
            assert UNIT.search(described[field.name]), f"{field.name} has no [unit]"
