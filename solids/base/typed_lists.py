"""Lists as a maker types them, without the quotes of a file: `[1/4, 3/8]`, and "3, 6, 10" where a list is wanted."""

from __future__ import annotations

import re

_BETWEEN = re.compile(r";|,\s+")
"""What stands between two values. A comma alone does so in brackets that have nothing else: "19,5" may be meant as one
number, and is told to be none."""


def typed_parts(text: str, least: int | None = None) -> list[str] | None:
    """The values of a list, each as it was typed; None where the text is no list. Where a list is wanted, `least` is
    how many values make one even if its brackets are not there, or not both."""
    inside = text.strip()
    bare = inside.removeprefix("[").removesuffix("]")
    closed = inside.startswith("[") and inside.endswith("]")
    if set(bare) & set("[]{}") or (least is None and not closed):
        return None
    apart = bare.split(",") if closed and not _BETWEEN.search(bare) else _BETWEEN.split(bare)
    parts = [part.strip() for part in apart if part.strip()]
    return parts if inside != bare or (least is not None and len(parts) >= least) else None
