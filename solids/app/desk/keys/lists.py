"""Lists as a maker types them into a control: "3, 6, 10" as well as "[3, 6, 10]"."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from solids.base.typed_lists import typed_parts
from solids.recipe.tables.fields import Rule


def takes_list(rule: Rule | None) -> bool:
    """Whether a key can hold a list; no rule of its own has a key whose values are each read alone."""
    return rule is None or any(one.get("type") == "array" for one in _ways(rule))


def takes_list_alone(rule: Rule | None) -> bool:
    """Whether a key holds a list and nothing else."""
    return rule is None or all(one.get("type") == "array" for one in _ways(rule))


def _ways(rule: Rule) -> list[dict[str, Any]]:
    schema = rule.schema()
    return list(schema.get("anyOf", [schema]))


def list_in(text: str, rule: Rule | None, read: Callable[[str], Any]) -> list[Any] | None:
    """The values of a list that is typed without the brackets or the quotes of a recipe, each read by `read`; None
    where the text is no such list."""
    if not takes_list(rule):
        return None
    parts = typed_parts(text, least=1 if takes_list_alone(rule) else 2)
    return None if parts is None else [read(part) for part in parts]
