"""JSON Schemas (2020-12) without titles that are names from the code: a reader has the key and its description."""

from __future__ import annotations

from typing import Any

VALUES = ("examples", "default", "const", "enum")
"""What a schema says as values, which may have a key `title` of their own."""


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
