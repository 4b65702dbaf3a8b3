"""Recipes that go deeper than any does are refused at once, in a file as on the command line."""

from __future__ import annotations

import time

import pytest

from solids.base.errors import InputError
from solids.recipe import parse_recipe, preset_text
from solids.recipe.text.toml import DEEPEST, TOO_DEEP, apply_override, has_long_key, is_deep, parse_toml
from tests.commands import refused

DEEP = {
    "a dotted key": ".".join(["a"] * 100_000) + " = 1",
    "a dotted key of quoted parts": ".".join(['"a"', "'b'"] * 20_000) + " = 1",
    "a dotted key with blanks": " . ".join(["a"] * 50_000) + " = 1",
    "the head of a table": "[" + ".".join(["a"] * 100_000) + "]",
    "the head of an array of tables": "[[" + ".".join(["a"] * 100_000) + "]]",
    "a key within braces": "x = {" + ".".join(["a"] * 100_000) + " = 1}",
    "lists": "x = " + "[" * 100 + "]" * 100,
    "lists without end": "x = " + "[" * 100_000,
    "braces": "x = " + "{a = " * 100 + "1" + "}" * 100,
    "heads, each one deeper": "\n".join(f"[{'.'.join(['a'] * n)}]" for n in range(1, 400)),
}


@pytest.mark.parametrize("text", DEEP.values(), ids=DEEP)
def test_what_is_too_deep_is_refused_at_once(text: str) -> None:
    begun = time.perf_counter()
    with pytest.raises(InputError, match=TOO_DEEP):
        parse_toml(text, "mine.toml")
    assert time.perf_counter() - begun < 1.0, "nine seconds, where each part is looked up among all before it"


@pytest.mark.parametrize("size", [16, 100, 262_000])
@pytest.mark.parametrize("piece", ["a", "a ", ".", "a.", '"', "'", "[", "{", ",", "{a.", "['a'.", '"a".', "[,", "\n"])
def test_no_text_takes_long_to_look_at(piece: str, size: int) -> None:
    begun = time.perf_counter()
    has_long_key(piece * (size // len(piece)))
    assert time.perf_counter() - begun < 1.0


def test_as_deep_as_told_and_no_deeper() -> None:
    assert not has_long_key(".".join(["a"] * DEEPEST) + " = 1")
    assert has_long_key(".".join(["a"] * (DEEPEST + 1)) + " = 1")
    assert is_deep(parse_toml("x = 1", "x")) is False
    nested: object = 1
    for _ in range(DEEPEST - 1):
        nested = [nested]
    assert not is_deep(nested)
    assert is_deep([[nested]])


def test_dots_in_words_are_no_keys() -> None:
    words = "v" + ".1" * 30
    recipe = parse_recipe(f"# {words}\n" + preset_text("tool-tray").replace("tool tray", words))
    assert recipe.title == words


@pytest.mark.parametrize("item", [".".join(["a"] * 500) + "=1", "kit.chisels=" + "[" * 100 + "]" * 100])
@pytest.mark.whole
def test_an_override_that_is_too_deep_is_a_refusal(item: str) -> None:
    assert TOO_DEEP in str(apply_override({}, item))
    assert TOO_DEEP in refused("check", "tool-tray", "--set", item)
