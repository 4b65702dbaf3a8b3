"""JSON Schemas (2020-12) of models, for people: every key has its description, and no title is a name from the code."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue

VALUES = ("examples", "default", "const", "enum")
"""What a schema says as values, which may have a key `title` of their own."""


class _Described(GenerateJsonSchema):
    """Keeps the description of a key whose table says the same of itself: an editor shows it where the key stands."""

    def handle_ref_overrides(self, json_schema: JsonSchemaValue) -> JsonSchemaValue:
        return json_schema


def schema_of(model: type[BaseModel]) -> dict[str, Any]:
    """The JSON Schema of a model, with the keys as they are written."""
    plain: dict[str, Any] = untitled(model.model_json_schema(by_alias=True, schema_generator=_Described))
    return plain


def untitled(schema: Any) -> Any:
    """A copy of a schema without titles. A property of the name `title` stays: it is a schema, not a text."""
    if isinstance(schema, list):
        return [untitled(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    return {
        key: value if key in VALUES else untitled(value)
        for key, value in schema.items()
        if not (key == "title" and isinstance(value, str))
    }
