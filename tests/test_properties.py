"""Any recipe either makes valid solids that pass every check, or is refused with a clear error: a few, always the same.

`tests/campaign/` does the same by the thousand, outside the default run.
"""

from __future__ import annotations

from hypothesis import given

from tests.properties import arithmetic_accepts_or_explains, examples, what_is_accepted_is_built_and_proved
from tests.recipes import recipe_texts


@examples(150)
@given(recipe_texts())
def test_arithmetic_accepts_or_explains(text: str) -> None:
    arithmetic_accepts_or_explains(text)


@examples(30)
@given(recipe_texts(max_tails=12))
def test_what_is_accepted_is_built_and_proved(text: str) -> None:
    what_is_accepted_is_built_and_proved(text)
