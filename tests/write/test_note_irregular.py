"""The note of a joint with a half tail, several slopes, a rebate and a mitred shoulder: see `irregular.py`."""

from __future__ import annotations

from functools import cache

import pytest
import textstat

from solids.base.cautions import CAUTIONS
from solids.layout import Layout
from solids.proof.assembly import prove_piece
from solids.recipe.tables.resolved import Listed
from solids.write.notes.note import note_bytes
from tests.bench.irregular import irregular, mitred
from tests.write.test_note import PLAIN_ENGLISH, prose

JOINTS = {"irregular": irregular(), "mitred": mitred()}


@cache
def text_of(name: str) -> str:
    return _text(JOINTS[name])


def _text(layout: Layout) -> str:
    return note_bytes(layout, prove_piece(layout).joints[0].proof, (), [("corner.step", "both boards")]).decode("utf-8")


def flat(name: str) -> str:
    return " ".join(text_of(name).split())


@pytest.mark.parametrize("name", JOINTS)
def test_it_holds_every_caution_in_plain_english(name: str) -> None:
    for caution in CAUTIONS:
        assert f"**{caution.topic}.** {caution.text}" in flat(name)
    assert textstat.flesch_reading_ease(prose(text_of(name))) >= PLAIN_ENGLISH


def test_it_tells_slopes_half_tail_and_what_the_rebate_is() -> None:
    words = flat("irregular")
    assert "3 tails (tail 1 a half tail) in boards" in words
    assert "The slopes are 1:5 to square, which are 0.0 to 11.3 degrees." in words
    assert "**The rebate first.** It is 2 mm (0.079 in) deep" in words
    assert "The board hangs 112 mm" in words, "110 mm and the 2 mm of the rebate"
    assert "floors of the sockets lie 8.4 mm" in words
    assert "First cut the socket at the open edge." in words
    assert "This board has 4 such corners: one at each such flank." in words
    assert "mitre" not in words.lower().replace("joint.mitre", "")


def test_it_leaves_the_mitred_strip_for_the_saw() -> None:
    words = flat("mitred")
    assert words.count("The router leaves that strip whole") == 2, "once for each board"
    assert "33.7 degrees, 1 in 1.5 on the tail board and 56.3 degrees, 1 in 0.667 on the pin board" in words
    assert "Cut the sockets between the tails and beside the mitred strip, one by one." in words


def test_a_joint_of_half_tails_alone_has_no_socket_to_pass() -> None:
    halves = Listed(ratios=(float("inf"), 7.0, 7.0, float("inf")), faces=((0.0, 40.0), (50.0, 96.0)))
    words = " ".join(_text(irregular(listed=Listed(**{**vars(halves), "edges": ("half tail",) * 2}))).split())
    assert "Every socket is open at an edge of the board" in words
    assert "edges" not in words.partition("**Order of cuts.**")[2].partition("**")[0]
