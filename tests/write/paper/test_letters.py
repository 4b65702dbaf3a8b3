"""The one font: what it has is left alone, what it lacks is written in Latin letters, and nothing is left blank."""

from __future__ import annotations

import string
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solids.write.paper.typesetting.letters import BOLD, NOWHERE, PLAIN, in_font, register, replaced, width_of

IN_FONT = string.digits + string.ascii_letters + string.punctuation + " "
WORDS = {
    "é": "é",
    "ł": "ł",
    "Ω": "Ω",
    "Ж": "Ж",
    "ß": "ß",
    "°": "°",
    "木": "Mu",
    "角": "Jiao",
    "あ": "a",
    "م": "m",
    "ש": "s",
}
"""What must come out. Left alone: Latin, Greek, Cyrillic. Else as the names of the characters are read (Mu and Jiao in
pinyin, a in Hepburn, meem, and shin without its dot), from memory."""


def known() -> set[str]:
    plain, bold = (set(font.face.charToGlyph) for font in register())
    return {chr(code) for code in plain & bold}


def test_every_printable_ascii_character_is_left_alone() -> None:
    assert in_font(IN_FONT) == IN_FONT
    assert replaced(IN_FONT) == {}


@pytest.mark.parametrize("character", WORDS)
def test_letters_of_other_scripts_are_left_alone_or_read_out(character: str) -> None:
    assert in_font(character) == WORDS[character]
    assert replaced(character) == ({} if WORDS[character] == character else {character: WORDS[character]})


@pytest.mark.parametrize("character", ["\ue000", "\uf8ff", "\U000f0000", "\U0010fffd"])
def test_a_character_that_nobody_can_read_becomes_a_question_mark(character: str) -> None:
    """Private use has no letters in any alphabet."""
    assert in_font(character) == NOWHERE == "?"


@pytest.mark.parametrize("mark", ["\u0301", "\u0323", "\u20d7", "\u0489", "\u3099"])
def test_a_combining_mark_that_the_font_lacks_does_not_stay(mark: str) -> None:
    assert unicodedata.category(mark).startswith("M")
    assert set(in_font("e" + mark)) <= known()


TEXT = st.text(st.characters(exclude_categories=("Cc", "Cs")), max_size=40)
"""No recipe holds control characters: titles and names of woods with one are refused."""


@given(TEXT)
def test_whatever_comes_out_is_in_both_weights_of_the_font(text: str) -> None:
    out = in_font(text)
    assert set(out) <= known()
    assert len(out) >= len(text)


@given(TEXT)
def test_writing_twice_changes_nothing_more(text: str) -> None:
    assert in_font(in_font(text)) == in_font(text)
    assert replaced(in_font(text)) == {}


@given(TEXT)
def test_what_is_told_as_replaced_is_what_was_replaced(text: str) -> None:
    changed = replaced(text)
    assert "".join(changed.get(ch, ch) for ch in text) == in_font(text)


def test_figures_are_as_wide_as_the_fonts_makers_say() -> None:
    """Roboto's figures are 1150 of 2048 units wide, all alike (from memory); bold ones are wider."""
    assert width_of("0123456789", 10.0) == pytest.approx(10 * 10.0 * 1150 / 2048, rel=2e-3)
    assert width_of("1111111111", 10.0) == pytest.approx(width_of("8888888888", 10.0))
    assert 1.01 < width_of("0123456789", 10.0, bold=True) / width_of("0123456789", 10.0) < 1.06
    assert width_of("00", 5.0) == pytest.approx(2 * width_of("0", 5.0))


def test_both_weights_are_the_packages_own_files() -> None:
    names = [font.face.name.decode() if isinstance(font.face.name, bytes) else font.face.name for font in register()]
    assert names == [PLAIN + "-Regular", BOLD]
