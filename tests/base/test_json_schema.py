"""No name from the code stands as a title in a JSON Schema, and keys of the name `title` stay."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from solids.base.json_schema import untitled
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


def test_only_texts_go_and_values_stay() -> None:
    schema = {"title": "JointTable", "properties": {"title": {"title": "Title", "examples": [{"title": "a"}]}}}
    assert untitled(schema) == {"properties": {"title": {"examples": [{"title": "a"}]}}}
