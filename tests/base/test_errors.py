"""The family of errors: each leaf says which exit code it means and can be caught as the builtin it is."""

from __future__ import annotations

import pytest

from solids.base.errors import (
    FaultError,
    FileError,
    HalfpinError,
    InputError,
    JointError,
    KernelError,
    LengthError,
    Problem,
    ReadBackError,
    RecipeError,
)

LEAVES = {
    InputError: ValueError,
    LengthError: ValueError,
    RecipeError: ValueError,
    FileError: OSError,
    JointError: HalfpinError,
    FaultError: RuntimeError,
    KernelError: RuntimeError,
    ReadBackError: RuntimeError,
}


@pytest.mark.parametrize(("error", "builtin"), LEAVES.items())
def test_every_error_is_of_the_family_and_also_its_builtin(error: type[HalfpinError], builtin: type) -> None:
    assert issubclass(error, HalfpinError)
    assert issubclass(error, builtin)


def test_the_four_exit_codes_are_four_branches_that_do_not_overlap() -> None:
    """Exit 2 is bad input or a file, 1 a failing joint, 3 a fault of ours; no error may mean two of them."""
    branches = (InputError, FileError, JointError, FaultError)
    for error in LEAVES:
        assert sum(issubclass(error, branch) for branch in branches) == 1


def test_a_problem_reads_as_key_wrong_and_remedy() -> None:
    assert str(Problem("joint.pin", "2 mm is thin", "take 3 mm").told()) == "joint.pin: 2 mm is thin; take 3 mm"


def test_a_recipe_error_says_all_its_problems_one_on_a_line() -> None:
    found = [Problem("a", "b", "c"), Problem("d", "e", "f")]
    error = RecipeError(iter(found))
    assert error.problems == tuple(found)
    assert str(error) == "a: b; c\nd: e; f"


def test_a_recipe_error_carries_what_is_usable_or_nothing() -> None:
    assert RecipeError([]).usable is None
    assert RecipeError([], usable="rest").usable == "rest"
