"""Kept states of a recipe: on disk, whatever comes between, and nowhere else than in the folder."""

from __future__ import annotations

import errno
import os
from pathlib import Path
from typing import Any

import pytest

from solids.app.desk.shelf.folder import Shelf
from solids.app.desk.shelf.kept import LONGEST_WORDS, MOST_KEPT, Kept, KeptState
from solids.base import tolerances as tol
from solids.base.errors import FileError, HalfpinError, InputError
from solids.recipe import parse_recipe
from solids.recipe.completing.shop import NO_SHOP
from tests.app.desk.stand_ins import TRAY, tray

TAILS_5 = TRAY.replace("tails = 4", "tails = 5")


@pytest.fixture
def kept(tmp_path: Path) -> Kept:
    return Kept(tray(tmp_path))


def words(states: list[KeptState]) -> list[str]:
    return [state.words for state in states]


def files(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if not path.is_dir())


# --- kept, called, dropped, brought back ---------------------------------------------------------------


@pytest.mark.parametrize(
    "text", [TRAY, TRAY.replace("\n", "\r\n"), "", "# Kept 2020-01-01 10:00: not I\nx = [", "\n\n"]
)
def test_a_text_comes_back_letter_by_letter(kept: Kept, text: str) -> None:
    made = kept.keep(text, "  1:7,\tthin\npins ")
    assert (made.number, made.words, made.text, made.why) == (1, "1:7, thin pins", text, "")
    assert Kept(kept.recipe).one("1") == made, "for whoever comes next, too"
    assert kept.states() == [made]
    assert kept.same(text) == made
    assert kept.same(text + "#") is None


def test_a_kept_state_is_itself_a_recipe(kept: Kept) -> None:
    kept.keep(TAILS_5, "five")
    assert parse_recipe((kept.folder / "1.toml").read_text()) == parse_recipe(TAILS_5)


def test_numbers_are_never_given_twice(kept: Kept) -> None:
    for text in ("a", "b", "c"):
        kept.keep(text, text)
    kept.drop("3")
    kept.drop("1")
    assert kept.keep("d", "d").number == 4
    assert words(kept.states()) == ["b", "d"]
    assert words(kept.dropped()) == ["a", "c"]
    assert kept.bring_back("1").text == "a"
    assert words(kept.states()) == ["a", "b", "d"]
    assert kept.count == 3


def test_another_name_changes_nothing_else(kept: Kept) -> None:
    made = kept.keep(TRAY, "as it was")
    called = kept.call("1", "the one with thin pins")
    assert called == KeptState(1, "the one with thin pins", made.when, TRAY)
    assert files(kept.folder) == ["1.toml"]


def test_the_twenty_first_is_refused_and_dropping_makes_room(kept: Kept) -> None:
    for number in range(MOST_KEPT):
        kept.keep(f"# {number}", f"state {number}")
    with pytest.raises(InputError, match="20 states are kept of this piece, and no more can be; drop one first"):
        kept.keep("more", "more")
    kept.drop("7")
    assert kept.keep("more", "more").number == 21
    with pytest.raises(InputError, match="drop one first"):
        kept.bring_back("7")
    assert kept.count == MOST_KEPT
    assert words(kept.dropped()) == ["state 6"]


@pytest.mark.parametrize("name", ["", " \n ", "x" * (LONGEST_WORDS + 1), "a\x00b", "a\x1bb", "\ud800"])
def test_what_no_state_can_be_called_is_refused_in_words(kept: Kept, name: str) -> None:
    with pytest.raises(InputError, match=r"called by 1 to 60 letters, such as: with thin pins"):
        kept.keep(TRAY, name)
    assert not kept.folder.parent.exists()
    kept.keep(TRAY, "good")
    with pytest.raises(InputError, match="60 letters"):
        kept.call("1", name)
    assert words(kept.states()) == ["good"]


@pytest.mark.parametrize(
    "number", ["", "0", "2", "-1", "01", "1.toml", "../../tool-tray", "dropped/1", "..", "\u0661", "x" * 400, "1\x00"]
)
def test_odd_numbers_lead_nowhere(kept: Kept, number: str) -> None:
    kept.keep(TRAY, "one")
    before = files(kept.recipe.parent)
    for work in (kept.one, kept.drop, kept.bring_back, lambda odd: kept.call(odd, "x")):
        with pytest.raises(FileError, match="has no kept state"):
            work(number)
    assert files(kept.recipe.parent) == before


# --- what else may lie there -----------------------------------------------------------------------------


def test_what_else_lies_there_is_told_state_by_state(kept: Kept, tmp_path: Path) -> None:
    kept.keep(TRAY, "good")
    secret = tmp_path / "secret.txt"
    secret.write_text("secret = 1")
    (kept.folder / "2.toml").symlink_to(secret)
    (kept.folder / "3.toml").mkdir()
    (kept.folder / "4.toml").write_bytes(b"\xff\xfe\x00")
    with (kept.folder / "5.toml").open("wb") as handle:
        handle.truncate(200_000_000)
    (kept.folder / "6.toml").write_text("")  # a bench was ended before it wrote
    os.mkfifo(kept.folder / "7.toml")
    (kept.folder / "8.toml").write_text(TAILS_5)
    (kept.folder / "mine.toml").write_text(TAILS_5)
    found = {state.number: state for state in kept.states()}
    assert sorted(found) == [1, 2, 3, 4, 5, 8]
    why = {number: state.why for number, state in found.items()}
    assert (why[1], why[8]) == ("", "")
    assert "link to another place" in why[2]
    assert "is a folder" in why[3]
    assert "not UTF-8" in why[4]
    assert "far more than a recipe" in why[5]
    assert (found[8].words, found[8].text) == ("state 8", TAILS_5), "put there by hand"
    assert all("secret = 1" not in state.text for state in found.values())
    with pytest.raises(FileError, match="link to another place"):
        kept.call("2", "x")
    assert secret.read_text() == "secret = 1"
    assert kept.keep("next", "next").number == 9


@pytest.mark.parametrize("deep", [0, 1, 2])
def test_no_link_leads_out_of_the_folder(tmp_path: Path, deep: int) -> None:
    kept = Kept(tray(tmp_path))
    elsewhere = tmp_path.parent / f"{tmp_path.name}-elsewhere"
    elsewhere.mkdir()
    (elsewhere / "1.toml").write_text(TAILS_5)
    kept.keep(TRAY, "one")
    place = [kept.folder / "dropped", kept.folder, kept.folder.parent][deep]
    if deep:
        place.rename(place.with_name("moved"))
    place.symlink_to(elsewhere, target_is_directory=True)
    for work in (lambda: kept.drop("1"), lambda: kept.bring_back("1"), kept.dropped):
        with pytest.raises(FileError, match="is a link to another place"):
            work()
    if deep:
        assert kept.count == 0
        for work in (kept.states, lambda: kept.keep(TRAY, "x")):
            with pytest.raises(FileError, match="is a link to another place"):
                work()
    assert [path.name for path in elsewhere.iterdir()] == ["1.toml"]


def test_a_file_in_the_place_of_the_folder_is_told_and_left_alone(kept: Kept) -> None:
    kept.folder.parent.write_text("mine")
    with pytest.raises(FileError, match="cannot be"):
        kept.keep(TRAY, "x")
    assert kept.folder.parent.read_text() == "mine"
    assert kept.count == 0


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="rights do not bind the system's administrator")
def test_a_folder_that_is_read_only_is_told(kept: Kept) -> None:
    kept.recipe.parent.chmod(0o500)
    try:
        with pytest.raises(FileError, match="cannot be made: Permission denied"):
            kept.keep(TRAY, "x")
    finally:
        kept.recipe.parent.chmod(0o700)


@pytest.mark.parametrize(
    ("what", "number"),
    [
        ("recipe_files.os.fsync", errno.ENOSPC),
        ("recipe_files.Path.open", errno.EROFS),
        ("recipe_files.move", errno.EIO),
    ],
)
def test_a_disk_that_refuses_is_told_and_leaves_nothing_behind(
    kept: Kept, monkeypatch: pytest.MonkeyPatch, what: str, number: int
) -> None:
    def refuses(*_: Any, **__: Any) -> None:
        raise OSError(number, os.strerror(number))

    kept.keep(TRAY, "one")
    with monkeypatch.context() as patch:
        patch.setattr(f"solids.app.{what}", refuses)
        for work in (lambda: kept.keep(TAILS_5, "x"), lambda: kept.call("1", "x")):
            with pytest.raises(FileError, match=os.strerror(number)):
                work()
    assert files(kept.folder) == ["1.toml"]
    assert words(kept.states()) == ["one"]


def test_a_folder_that_cannot_be_made_is_told(kept: Kept, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuses(*_: Any, **__: Any) -> None:
        raise OSError(errno.EROFS, "Read-only file system")

    with monkeypatch.context() as patch:
        patch.setattr("solids.app.desk.shelf.kept.Path.mkdir", refuses)
        with pytest.raises(FileError, match="tool-tray cannot be made: Read-only file system"):
            kept.keep(TRAY, "x")
    assert files(kept.recipe.parent) == ["tool-tray.toml"]


def test_the_largest_recipe_can_be_kept(kept: Kept) -> None:
    text = "#" * (tol.RECIPE_LARGEST_BYTES - 1) + "\n"
    assert kept.keep(text, "\u00e9" * LONGEST_WORDS).text == text


# --- with the recipe ---------------------------------------------------------------------------------------


def test_states_go_wherever_the_recipe_goes(tmp_path: Path) -> None:
    tray(tmp_path)
    shelf = Shelf(tmp_path, NO_SHOP)
    shelf.kept("tool-tray").keep(TRAY, "one")
    shelf.kept("tool-tray").keep(TAILS_5, "two")
    shelf.kept("tool-tray").drop("1")
    assert shelf.rename("tool-tray", "Plane till") == "plane-till"
    assert files(tmp_path) == ["kept/plane-till/2.toml", "kept/plane-till/dropped/1.toml", "plane-till.toml"]
    assert [one["kept"] for one in shelf.recipes()] == [1]
    assert shelf.put_away("plane-till") == "plane-till"
    assert files(tmp_path / "put away") == [
        "kept/plane-till/2.toml",
        "kept/plane-till/dropped/1.toml",
        "plane-till.toml",
    ]
    tray(tmp_path, "plane-till")
    assert [one["kept"] for one in shelf.recipes()] == [0], "another piece of that name has nothing of it"
    shelf.kept("plane-till").keep(TRAY, "another")
    assert shelf.bring_back("plane-till") == "plane-till-2"
    assert words(shelf.kept("plane-till-2").states()) == ["two"]
    assert words(shelf.kept("plane-till-2").dropped()) == ["one"]
    assert words(shelf.kept("plane-till").states()) == ["another"]


def test_a_name_of_which_states_are_left_is_not_given_to_another_piece(tmp_path: Path) -> None:
    file = tray(tmp_path)
    shelf = Shelf(tmp_path, NO_SHOP)
    shelf.kept("tool-tray").keep(TRAY, "one")
    file.unlink()
    assert shelf.new("tool-tray", "tool tray") == "tool-tray-2"
    tray(tmp_path)
    assert words(shelf.kept("tool-tray").states()) == ["one"], "the recipe is back, and so are its states"


def test_a_recipe_that_cannot_be_moved_keeps_its_states(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tray(tmp_path)
    shelf = Shelf(tmp_path, NO_SHOP)
    shelf.kept("tool-tray").keep(TRAY, "one")

    def refuses(*_: Any) -> None:
        raise OSError(errno.EIO, "Input/output error")

    with monkeypatch.context() as patch:
        patch.setattr("solids.app.desk.shelf.folder.move", refuses)
        with pytest.raises(FileError, match="Input/output error"):
            shelf.put_away("tool-tray")
    assert words(shelf.kept("tool-tray").states()) == ["one"]
    with monkeypatch.context() as patch:
        patch.setattr("solids.app.desk.shelf.kept.move", refuses)
        with pytest.raises(FileError, match="Input/output error"):
            shelf.rename("tool-tray", "other")
    assert files(tmp_path) == ["kept/tool-tray/1.toml", "tool-tray.toml"]


def test_nothing_is_kept_of_what_is_no_recipe(tmp_path: Path) -> None:
    for name in ("../x", "", "kept", "no such"):
        with pytest.raises(HalfpinError, match="there is no recipe of the name"):
            Shelf(tmp_path, NO_SHOP).kept(name)
