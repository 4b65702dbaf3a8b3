"""How deep a recipe's tables go. A recipe needs three levels. Anything much deeper is not a recipe, and would keep the
TOML reader busy for many seconds, or overflow the stack of whatever walks through it."""

from __future__ import annotations

import re
from collections.abc import Iterable

DEEPEST = 16
TOO_DEEP = "tables or brackets nested too deep for a recipe"

_PART = r"""(?:[\w-]+|"[^"\n]*"|'[^'\n]*')[ \t]*\.[ \t]*"""
_LONG_KEY = re.compile(rf"(?:^|[{{,\[])[ \t]*(?:{_PART}){{{DEEPEST}}}", re.MULTILINE)
"""A dotted key of more parts than that, wherever a key may begin. The reader's time grows with their square."""


def has_long_key(text: str) -> bool:
    """Whether a TOML text has a dotted key that goes too deep."""
    return _LONG_KEY.search(text) is not None


def is_deep(value: object) -> bool:
    """Whether tables and lists go too deep."""
    level: list[object] = [value]
    for _ in range(DEEPEST):
        level = [inner for outer in level for inner in _within(outer)]
        if not level:
            return False
    return True


def _within(value: object) -> Iterable[object]:
    if isinstance(value, dict):
        return value.values()
    return value if isinstance(value, list) else ()
