"""Lists as a maker types them into a control: "3, 6, 10" as well as "[3, 6, 10]"."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from solids.recipe.tables.fields import Rule

_BETWEEN = re.compile(r"\s*;\s*|\s*,\s+")
"""What stands between two values. A comma alone does not: "19,5" may be meant as one number, and is told to be none."""


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
    inside = text.strip()
    bare = inside.removeprefix("[").removesuffix("]")
    if "[" in bare or "{" in bare:
        return None
    parts = [part for part in _BETWEEN.split(bare.strip()) if part]
    is_list = len(parts) > 1 or inside != bare or takes_list_alone(rule)
    return [read(part) for part in parts] if is_list else None
