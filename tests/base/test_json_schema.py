"""Every key of a JSON Schema has a sentence that says what it is. No name from the code stands as a title, and keys of
the name `title` stay."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest

from solids.base.json_schema import VALUES, untitled
from solids.recipe.tables.schema import recipe_schema, shop_schema
from solids.write.report.file import report_schema
from solids.write.report.records.reports import BoxReport

SCHEMAS = {
    "recipe": recipe_schema(),
    "shop": shop_schema(),
    "report": report_schema(),
    "box-report": report_schema(BoxReport),
}


def titles(schema: Any) -> Iterator[str]:
    if isinstance(schema, dict):
        if isinstance(schema.get("title"), str):
            yield schema["title"]
        for value in schema.values():
            yield from titles(value)
    elif isinstance(schema, list):
        for item in schema:
            yield from titles(item)


@pytest.mark.parametrize("name", SCHEMAS)
def test_no_schema_has_a_title_from_the_code(name: str) -> None:
    assert list(titles(SCHEMAS[name])) == []


@pytest.mark.parametrize("name", ["recipe", "report", "box-report"])
def test_the_key_title_stays(name: str) -> None:
    assert "title" in SCHEMAS[name]["properties"]


def descriptions(schema: Any, place: str) -> Iterator[tuple[str, str]]:
    """Every key that a schema declares, at whatever depth, with what is said of it. Conditions declare none."""
    if isinstance(schema, list):
        for item in schema:
            yield from descriptions(item, place)
    if not isinstance(schema, dict):
        return
    for key, value in schema.get("properties", {}).items():
        yield f"{place}.{key}", value.get("description", "")
        yield from descriptions(value, f"{place}.{key}")
    for name, table in schema.get("$defs", {}).items():
        yield from descriptions(table, name)
    for key, value in schema.items():
        if key not in (*VALUES, "properties", "$defs", "if", "then", "else"):
            yield from descriptions(value, place)


@pytest.mark.parametrize("name", SCHEMAS)
def test_every_key_of_every_schema_says_in_a_sentence_what_it_is(name: str) -> None:
    found = dict(descriptions(SCHEMAS[name], name))
    assert len(found) > 20
    assert [key for key, said in found.items() if not said] == []
    assert [f"{key}: {said}" for key, said in found.items() if not said.endswith(".") or len(said.split()) < 2] == []


UNITS_SAID = {
    "_mm": "mm",
    "_mm2": "mm2",
    "_mm3": "mm3",
    "_deg": "degrees",
    "_percent": "%",
    "_mpa": "MPa",
    "_n": "newtons",
}


@pytest.mark.parametrize("name", ["report", "box-report"])
def test_what_is_said_of_a_figure_names_its_unit(name: str) -> None:
    """The key carries it for scripts, the sentence for people; what a row repeats from the row above it may say so."""
    wrong = [
        f"{key}: {said}"
        for key, said in descriptions(SCHEMAS[name], name)
        for ending, unit in UNITS_SAID.items()
        if key.endswith(ending) and unit not in re.findall(r"[\w%]+", said)
    ]
    assert wrong == []


def test_a_key_without_a_description_is_seen() -> None:
    """The walk finds keys in tables, in choices and in definitions."""
    inner = {"properties": {"bare": {"type": "string"}}}
    for schema in (inner, {"anyOf": [inner]}, {"$defs": {"Table": inner}}, {"properties": {"outer": {"items": inner}}}):
        assert any(key.endswith(".bare") and not said for key, said in descriptions(schema, "it"))


def test_only_texts_go_and_values_stay() -> None:
    schema = {"title": "JointTable", "properties": {"title": {"title": "Title", "examples": [{"title": "a"}]}}}
    assert untitled(schema) == {"properties": {"title": {"examples": [{"title": "a"}]}}}
