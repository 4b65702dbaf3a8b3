"""Single keys are changed in a maker's text, and every comment stays."""

from __future__ import annotations

import pytest

from solids.recipe.text.editing import with_added, without
from solids.recipe.text.toml import Added

LISTED = """\
# mine
[joint]
flanks = [
[8, 9.5],
[28, 26.5],
]  # as measured
note = '''
[pin_board]
'''

[pin_board]
thickness = 12
"""


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_a_line_that_looks_like_the_head_of_a_table_in_a_value_is_none(ends: str) -> None:
    text = LISTED.replace("\n", ends)
    more = with_added(text, (Added("pin_board.wood", "maple", ""), Added("joint.lap", 5, "")))
    assert more == text.replace(f"'''{ends}{ends}", f"'''{ends}lap = 5{ends}{ends}") + f'wood = "maple"{ends}'
    assert without(without(more, "joint.lap"), "pin_board.wood") == text


def test_a_value_that_is_replaced_keeps_its_comment_as_it_was_written() -> None:
    text = "[joint]\ntails = 4   #as the old one\n"
    assert with_added(text, (Added("joint.tails", 5, ""),)) == text.replace("4", "5")
    assert with_added(text, (Added("joint.tails", 5, "why"),)) == "[joint]\ntails = 5 # as the old one; why\n"
