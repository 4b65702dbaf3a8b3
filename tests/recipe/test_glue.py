"""What a recipe says of its glue, what stands in for the rest, and what comes from the shop."""

from __future__ import annotations

import pytest

from solids.app.desk.keys.controls import field_of, rule_of
from solids.recipe.completing.corner.choices import resolve_corner
from solids.recipe.completing.shop import complete
from solids.recipe.tables.fields import Number
from solids.recipe.tables.schema import known_keys
from solids.recipe.text.frozen import frozen_toml
from solids.recipe.text.reading import ask
from solids.recipe.text.shop_file import shop_of
from solids.recipe.text.toml import NUMBERS, parse_toml
from solids.wood.glues import GLUES, USUAL, Glue
from tests.recipes import MINIMAL, choice, only_problem, recipe


def test_without_a_word_it_is_the_usual_glue_with_its_usual_figures() -> None:
    assert recipe().glue == GLUES[USUAL]
    assert choice("glue.kind")[0] == "PVA"
    assert choice("glue.open_time") == ("5 min", "usual for PVA; your bottle's word goes first")


@pytest.mark.parametrize("kind", GLUES)
def test_every_kind_brings_its_own_figures(kind: str) -> None:
    glue = recipe(f"glue.kind={kind}").glue
    assert glue.kind == kind
    assert 0 < glue.open_min < glue.assembly_min < glue.clamp_min


def test_what_the_bottle_says_goes_first() -> None:
    said = ("glue.open_time=8", "glue.assembly_time=12", "glue.clamp_time=45", "glue.spread=150")
    assert recipe(*said).glue == Glue("PVA", 8.0, 12.0, 45.0, 150.0)


def test_one_time_alone_moves_the_other_where_they_would_contradict() -> None:
    assert recipe("glue.open_time=30").glue.assembly_min == 30.0
    assert recipe("glue.assembly_time=3").glue.open_min == 3.0


def test_a_time_that_follows_from_the_other_is_not_called_usual() -> None:
    """PVA stays open for 5 minutes as a rule; 3 are what the assembly time leaves, and no rule of that glue."""
    told = choice("glue.open_time", "glue.assembly_time=3")
    assert told == ("3 min", "as long as glue.assembly_time, which the usual time contradicts")
    assert "usual for PVA" in choice("glue.assembly_time", "glue.open_time=9")[1], "10 minutes do not contradict 9"
    assert choice("glue.assembly_time", "glue.open_time=30")[0] == "30 min"


def test_an_open_time_past_the_last_clamp_is_refused() -> None:
    told = only_problem("glue.open_time=12", "glue.assembly_time=8")
    assert told.key == "glue.assembly_time"
    assert "8 min to the last clamp are less than the 12 min of open time" in str(told)
    assert told.tries == ("12",)
    assert recipe("glue.open_time=12", "glue.assembly_time=12").glue.assembly_min == 12.0


def test_a_figure_is_refused_with_what_it_counts() -> None:
    assert only_problem("glue.assembly_time=0.1").remedy == "accepted is a number of minutes from 0.5 to 480"
    assert only_problem("glue.spread=2").remedy == "accepted is a number of g/m2 from 50 to 600"
    assert only_problem("joint.spacing=graduated", "joint.grading=9").remedy == "accepted is a number from -0.5 to 2"


@pytest.mark.parametrize(
    "given", ["glue.open_time=0", "glue.spread=2", 'glue.open_time="5 mm"', "glue.kind=chewing gum"]
)
def test_what_no_glue_has_is_refused_with_what_is_accepted(given: str) -> None:
    assert "accepted is" in str(only_problem(given))


def test_numbers_that_are_no_lengths_are_all_known_as_such() -> None:
    found = {key.rpartition(".")[2] for key in known_keys() if key != "box.joints" and _is_number(key)}
    assert found == NUMBERS


def _is_number(key: str) -> bool:
    return isinstance(rule_of(field_of(key)), Number)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_frozen_glue_reads_back_the_same(units: str) -> None:
    first = recipe("glue.kind=epoxy glue", "glue.spread=222.5", f"units={units}", 'joint.width="96 mm"')
    again = recipe(text=frozen_toml(first))
    assert again.glue == first.glue


@pytest.mark.parametrize(
    ("asked", "opened"), [("", 7.0), ('[glue]\nkind = "PVA"', 7.0), ('[glue]\nkind = "slow PVA"', 10.0)]
)
def test_the_shops_bottle_is_not_poured_into_another_kind(asked: str, opened: float) -> None:
    raw = parse_toml(f"{MINIMAL}\n{asked}", "recipe")
    shop = shop_of({"glue": {"open_time": 7}})
    assert complete(shop, raw, ask(f"{MINIMAL}\n{asked}"), resolve_corner).glue.open_min == opened
