"""Whole pieces in which several kinds of fitting meet: each is proved, or refused with a reason."""

from __future__ import annotations

import pytest

from solids.base.errors import InputError
from solids.layout.plan import plan_of
from solids.proof.assembly import prove_piece
from solids.recipe.completing.shop import NO_SHOP
from solids.recipe.text.toml import raw_in

BOX = """
[joint]
half_pin = 9
[tail_board]
thickness = 12
[pin_board]
thickness = 12
[box]
length = 300
width = 200
height = 140
"""
ACROSS, ALONG = '\n[[box.divider]]\nruns = "across"\n', '\n[[box.divider]]\nruns = "along"\n'
LID = "\n[box.lid]\nat = 104\n"

TOGETHER = {
    "two dividers open the groove above the bottom": f"{BOX}[box.groove]\nwidth = 5\n{ACROSS}{ACROSS}",
    "dividers that cross over a rebate": f'{BOX}[box.panel]\nheld = "rebate"\n{ACROSS}{ALONG}',
    "dividers over slips": f'{BOX}[box.panel]\nheld = "slips"\n{ACROSS}{ALONG}',
    "a divider on a raised field": (
        f'{BOX}[box.panel]\nedge = "fielded"\nthickness = 10\nface = "upper face"\n{ACROSS}{ACROSS}'
    ),
    "a divider below a lid": f"{BOX}[box.groove]\nwidth = 5\n{LID}{ACROSS}",
    "feet beside a rebate": f'{BOX}[box.panel]\nheld = "rebate"\n[box.feet]\nheight = 14\n',
    "a divider before a lower back": f"{BOX}[box.groove]\nwidth = 5\n[box.back]\ndown = 15\n{ALONG}",
}

APART = {
    "dividers that cross below a lid": (f"{BOX}[box.groove]\nwidth = 5\n{LID}{ACROSS}{ALONG}", "box.divider.2.housing"),
    "a divider in a lid": (f"{BOX}[box.groove]\nwidth = 5\n{LID}{ACROSS}up = 110\n", "box.divider.1"),
    "a divider through slips": (f'{BOX}[box.panel]\nheld = "slips"\n{ALONG}up = 10\n', "box.divider.1.up"),
    "runners that meet": (
        f"{BOX.replace('length = 300', '').replace('width = 200', '').replace('height = 140', '')}"
        "[opening]\nwidth = 300\nheight = 120\ndepth = 250\n[opening.runner]\nwidth = 200\n",
        "opening.runner.width",
    ),
}


@pytest.mark.parametrize("name", TOGETHER)
def test_what_meets_goes_together(name: str) -> None:
    proof = prove_piece(plan_of(*raw_in(TOGETHER[name]), NO_SHOP))
    assert [finding.sentence for finding in proof.findings if finding.severity in ("fail", "warning")] == []


@pytest.mark.parametrize("name", APART)
def test_what_cannot_meet_is_refused_under_its_key(name: str) -> None:
    text, key = APART[name]
    with pytest.raises(InputError) as caught:
        plan_of(*raw_in(text), NO_SHOP)
    assert key in str(caught.value)
