"""Tails drawn by eye: one joint for ever from one seed, a little unlike, wider toward the middle, and told."""

from __future__ import annotations

import hashlib
from statistics import fmean

import pytest

from solids.base import tolerances as tol
from solids.recipe.completing.corner.by_eye import strays
from solids.recipe.tables.box_resolved import CORNERS, BoxRecipe
from solids.recipe.text.freezing import frozen_text
from solids.recipe.text.frozen import added
from solids.recipe.text.reading import check_piece
from solids.recipe.text.starter import starter_text
from solids.recipe.text.toml import parse_toml
from tests.boxes import raw_of
from tests.recipes import MINIMAL, choice, keys_of, only_problem, problems, recipe

BY_EYE = "joint.spacing=by eye"
WIDE = (BY_EYE, "joint.width=120", "joint.pin=3", "joint.half_pin=6")


def shares_of(*overrides: str, text: str = MINIMAL) -> tuple[float, ...]:
    """The widths of the tails as shares of their mean."""
    found = recipe(*overrides, text=text).tail_shares
    return tuple(share * len(found) / sum(found) for share in found)


# --- the formula -----------------------------------------------------------------------------------

DIGESTS = {
    "7/3/1": "e745b62fbe1ca334d601e6f667189d1ebd590fcb9eed612e6a1ddf05dc549b73",
    "7/3/2": "12cdf2cfa699247c708562579f418450a69a91cd19f4b12740f6d5ceaf4cd6ff",
    "7/3/3": "af9bef8def7c5e4037cc260bb76641f3b2f5265f5a52c89ab249350ac6918ea8",
}


def test_one_case_by_hand() -> None:
    """0xe745b62f is 3,880,105,519, which leaves 113,186 by 120,001, and 53,186 less 60,000. 0x12cdf2cf is 315,486,927,
    which leaves 4,298, so -55,702. 0xaf9bef8d is 2,946,232,205, which leaves 87,654, so 27,654. The middle tail gets
    50,000 more, -5,702. They sum to 75,138, so the tails stray by 3 x 53,186 - 75,138 = 84,420, by 3 x -5,702 - 75,138
    = -92,244 and by 3 x 27,654 - 75,138 = 7,824, a third of which are millionths of the mean. Of 120 mm, half pins of 6
    and pins of 3 leave 102, a mean of 34 mm: 34 x 1.02814 = 34.95676, 34 x 0.969252 = 32.954568, 34 x 1.002608 =
    34.088672."""
    for text, digest in DIGESTS.items():
        assert hashlib.sha256(text.encode("ascii")).hexdigest() == digest
    assert strays(7, 3) == (84_420, -92_244, 7_824)
    widths = [34 * share for share in shares_of(*WIDE, "joint.tails=3", "joint.seed=7")]
    assert widths == pytest.approx([34.95676, 32.954568, 34.088672], abs=1e-9)


def test_the_arch_rises_from_both_edges_to_the_middle() -> None:
    """Of five tails 0, 3/4, 1, 3/4 and 0 of 50,000. Over 500 seeds the wobble of one tail, at most 60,000 either way,
    has a mean within 4 x 60,000 / sqrt(3 x 500) = 6,197 of 0."""
    seeds = range(1, 501)
    means = [fmean(strays(seed, 5)[i] / 5 for seed in seeds) for i in range(5)]
    mean = (37_500 + 50_000 + 37_500) / 5
    assert means == pytest.approx([arch - mean for arch in (0, 37_500, 50_000, 37_500, 0)], abs=6_197)


@pytest.mark.parametrize("tails", [3, 4, 5, 8, 13])
def test_tails_in_the_middle_are_wider_on_average_over_500_seeds(tails: int) -> None:
    drawn = [strays(seed, tails) for seed in range(1, 501)]
    by_place = [fmean(column) for column in zip(*drawn, strict=True)]
    middle = tails // 2
    assert by_place[middle] > 0 > max(by_place[0], by_place[-1])
    assert any(max(row) != row[middle] for row in drawn), "a single joint need not have its widest tail there"


@pytest.mark.parametrize("tails", [1, 2, 3, 7, 40, 100])
def test_no_tail_is_more_than_a_tenth_from_the_mean_and_the_mean_stays(tails: int) -> None:
    for seed in (1, 2, 3, 17, tol.LARGEST_SEED):
        assert sum(strays(seed, tails)) == 0
        found = shares_of(BY_EYE, "joint.width=4000", f"joint.tails={tails}", f"joint.seed={seed}")
        assert len(found) == tails
        assert max(abs(share - 1) for share in found) <= 0.1 + 1e-12
        assert fmean(found) == pytest.approx(1, abs=1e-12)


def test_what_would_be_over_a_tenth_is_held_to_a_tenth_as_a_whole() -> None:
    """Some seed draws a tail of seven further out; all tails keep their order and proportions."""
    seed = next(seed for seed in range(1, 999) if max(map(abs, strays(seed, 7))) > 7 * 100_000)
    found, wanted = shares_of(BY_EYE, "joint.width=300", "joint.tails=7", f"joint.seed={seed}"), strays(seed, 7)
    worst = max(range(7), key=lambda i: abs(wanted[i]))
    assert 0.0998 < abs(found[worst] - 1) <= 0.1 + 1e-12, "held, to a thousandth of what was drawn"
    assert [(share - 1) / (found[worst] - 1) for share in found] == pytest.approx(
        [stray / wanted[worst] for stray in wanted]
    )


def test_one_tail_has_nothing_to_differ_from() -> None:
    assert shares_of(BY_EYE, "joint.tails=1", "joint.width=40") == (1.0,)


def test_the_same_seed_gives_the_same_tails_and_another_others() -> None:
    seeds = [shares_of(*WIDE, "joint.tails=4", f"joint.seed={seed}") for seed in (1, 2, 3, 1)]
    assert seeds[0] == seeds[3]
    assert len(set(seeds)) == 3
    assert len(set(seeds[0])) == 4, "no two tails are alike"


def test_a_title_moves_no_tail() -> None:
    assert shares_of(*WIDE, "title=one") == shares_of(*WIDE, "title=two")


def test_another_number_of_tails_is_drawn_anew() -> None:
    assert strays(7, 4)[:3] != strays(7, 3)


# --- what is told ----------------------------------------------------------------------------------


def test_the_seed_is_1_where_none_is_given_and_that_is_told() -> None:
    assert choice("joint.seed", BY_EYE) == ("1", "the first; another number draws other tails")
    assert recipe(BY_EYE).tail_shares == recipe(BY_EYE, "joint.seed=1").tail_shares
    assert "joint.seed" not in [made.key for made in recipe(BY_EYE, "joint.seed=1").choices]
    assert (recipe(BY_EYE, "joint.seed=5").spacing_told, recipe().spacing_told) == ("by eye, seed 5", "even")


@pytest.mark.parametrize("spacing", [(), ("joint.spacing=graduated",), ("joint.spacing=[14, 25, 18]",)])
def test_a_seed_without_tails_by_eye_is_refused(spacing: tuple[str, ...]) -> None:
    assert str(only_problem(*spacing, "joint.seed=4")) == (
        'joint.seed: 4 has no effect here; leave it out, or take joint.spacing = "by eye"'
    )


def test_a_grading_beside_tails_by_eye_is_refused() -> None:
    assert keys_of(problems(BY_EYE, "joint.grading=0.2")) == ["joint.grading"]


@pytest.mark.parametrize("seed", ["0", "-1", "1000000", "2.5", "true", "oak"])
def test_a_seed_is_a_whole_number(seed: str) -> None:
    problem = only_problem(BY_EYE, f"joint.seed={seed}")
    assert (problem.key, problem.remedy) == ("joint.seed", "accepted is a whole number from 1 to 999999")


def test_a_joint_without_room_for_its_tails_is_refused_and_not_drawn() -> None:
    assert keys_of(problems(BY_EYE, "joint.tails=40")) == ["joint.width"]


def test_a_starter_in_inches_leaves_the_seed_a_number() -> None:
    assert "# seed = 1\n" in starter_text("tea-box")


# --- frozen, and in a box --------------------------------------------------------------------------


def test_a_frozen_recipe_holds_the_seed_and_gives_the_same_tails(tmp_path) -> None:
    text = MINIMAL.replace("width = 96", 'width = 96\nspacing = "by eye"')
    file = tmp_path / "joint.toml"
    file.write_text(text, "utf-8")
    before = check_piece(parse_toml(text, "recipe"))
    frozen = frozen_text(file, before)
    (line,) = (line for line in frozen.splitlines() if line.startswith("seed"))
    assert line.startswith("seed = 1 ")
    assert "another number draws other tails" in line
    after = check_piece(parse_toml(frozen, "frozen"))
    assert added(after) == ()
    assert (after.tail_shares, after.seed) == (before.tail_shares, 1)


def box(*overrides: str) -> BoxRecipe:
    found = check_piece(raw_of("keepsake-box", *overrides))
    assert isinstance(found, BoxRecipe)
    return found


def test_all_corners_of_a_box_have_the_same_tails_from_the_same_seed() -> None:
    corners = box(BY_EYE, "joint.seed=3").corners
    assert {corner.seed for corner in corners.values()} == {3}
    assert len({corner.tail_shares for corner in corners.values()}) == 1


def test_a_corner_of_a_box_may_have_a_seed_of_its_own() -> None:
    corners = box(BY_EYE, "joint.seed=3", "box.joints.back.seed=4", "box.joints.back_left.seed=5").corners
    assert [corners[name].seed for name in CORNERS] == [3, 3, 5, 4]
    assert len({corner.tail_shares for corner in corners.values()}) == 3


def test_one_end_of_a_box_by_eye_is_frozen_with_its_seed_there() -> None:
    found = box("box.joints.front.spacing=by eye")
    assert {item.key: item.value for item in added(found) if item.key.endswith("seed")} == {"box.joints.front.seed": 1}
