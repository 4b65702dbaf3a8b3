"""An open recipe: changes by key, undo over everything, what others write to the file, and disks that refuse."""

from __future__ import annotations

import errno
import os
import random
from pathlib import Path
from typing import Any

import pytest

from solids.app.desk import document as module
from solids.app.desk.document import Document, changed_keys, step_between, with_changes
from solids.base.errors import InputError
from tests.app.desk.stand_ins import TRAY, tray


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tray(tmp_path)


def edit(file: Path, old: str, new: str) -> None:
    text = file.read_text()
    assert old in text
    file.write_text(text.replace(old, new))


def test_a_change_is_on_disk_and_every_comment_is_kept(file: Path) -> None:
    document = Document(file)
    document.set({"joint.tails": 5, "joint.width": "3 3/4 in"})
    assert file.read_text() == TRAY.replace("tails = 4", "tails = 5").replace("= 96", '= "3 3/4 in"')
    assert document.changed == ("joint.width", "joint.tails")
    assert not document.is_waiting
    assert document.version == 2


def test_none_takes_a_key_out_and_a_key_that_is_not_there_is_no_change(file: Path) -> None:
    document = Document(file)
    document.set({"joint.tails": None})
    assert file.read_text() == TRAY.replace("tails = 4\n", "")
    version = document.version
    document.set({"joint.pin": None})
    assert document.version == version


def test_a_key_of_a_table_that_is_not_there_makes_it(file: Path) -> None:
    document = Document(file)
    document.set({"climate.home.dry": "21 C, 35 %", "kit.chisels": [3, 6]})
    assert changed_keys(TRAY, document.text) == ("climate.home.dry", "kit.chisels")
    with pytest.raises(InputError, match=r"joint\.tails is a value, not a table"):
        document.set({"joint.tails.more": 1})


def test_the_step_between_two_texts_holds_only_what_differs() -> None:
    """Worked by hand: "tails = 4" and "tails = 51" differ behind eight signs."""
    step = step_between("tails = 4\n", "tails = 51\n", ("tails",))
    assert (step.at, step.old, step.new) == (8, "4", "51")
    assert step.done("tails = 4\n") == "tails = 51\n"
    assert step.back.done("tails = 51\n") == "tails = 4\n"
    assert step_between("aa", "aaa", ()).done("aa") == "aaa"


def test_undo_and_redo_over_the_whole_sitting(file: Path) -> None:
    document = Document(file)
    texts = [document.text]
    for tails in (5, 6, 7):
        document.set({"joint.tails": tails})
        texts.append(document.text)
    for text in reversed(texts[:-1]):
        document.undo()
        assert document.text == text == file.read_text()
    assert not document.can_undo
    with pytest.raises(InputError, match="nothing to undo"):
        document.undo()
    for text in texts[1:]:
        document.redo()
        assert document.text == text == file.read_text()
    with pytest.raises(InputError, match="nothing to do again"):
        document.redo()


def test_a_movement_is_one_step_and_saved_when_it_rests(file: Path) -> None:
    document = Document(file)
    document.set({"pin_board.thickness": 12.5, "joint.tails": None}, live=True)
    for tenth in range(126, 140):
        document.set({"pin_board.thickness": tenth / 10}, live=True)
    assert document.is_moving
    assert file.read_text() == TRAY, "nothing is saved while it moves"
    document.save()
    assert "thickness = 13.9" in file.read_text()
    assert document.is_moving
    document.set({"pin_board.thickness": 14}, live=False)
    assert not document.is_moving
    assert "thickness = 14" in file.read_text()
    assert document.changed == ("joint.tails", "pin_board.thickness")
    document.undo()
    assert file.read_text() == TRAY


def test_the_movement_of_another_page_is_a_step_of_its_own(file: Path) -> None:
    document = Document(file)
    document.set({"pin_board.thickness": 13}, live=True)
    document.set({"joint.tails": 5})
    document.undo()
    assert document.text == TRAY.replace("thickness = 12", "thickness = 13")


def test_an_edit_from_outside_comes_in_and_can_be_undone(file: Path) -> None:
    document = Document(file)
    document.set({"joint.tails": 5})
    edit(file, "width = 96", "width = 80")
    assert document.take_in()
    assert not document.take_in(), "once"
    assert document.changed == ("joint.width",)
    document.undo()
    assert "width = 96" in file.read_text()
    assert "tails = 5" in file.read_text()
    document.undo()
    assert file.read_text() == TRAY
    document.redo()
    document.redo()
    assert "width = 80" in file.read_text()


def test_a_change_goes_on_top_of_an_edit_that_nobody_has_seen_yet(file: Path) -> None:
    document = Document(file)
    edit(file, "width = 96", "width = 80")
    document.set({"joint.tails": 5})
    assert file.read_text() == TRAY.replace("width = 96", "width = 80").replace("tails = 4", "tails = 5")


def test_what_waits_for_the_disk_goes_on_top_of_an_edit_from_outside(file: Path) -> None:
    document = Document(file)
    document.set({"pin_board.thickness": 13}, live=True)
    edit(file, "tails = 4", "tails = 3")
    document.save()
    assert file.read_text() == TRAY.replace("thickness = 12", "thickness = 13").replace("tails = 4", "tails = 3")
    document.undo()
    document.undo()
    assert document.text == TRAY.replace("thickness = 12", "thickness = 13"), "what stood here before the edit"


def test_an_edit_that_is_no_toml_comes_in_and_undo_leads_back(file: Path) -> None:
    document = Document(file)
    file.write_text("tails = = 4")
    assert document.take_in()
    with pytest.raises(InputError, match="is not TOML"):
        document.set({"joint.tails": 5})
    document.undo()
    assert file.read_text() == TRAY


def test_a_file_that_is_half_written_is_waited_for(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    document = Document(file)
    texts = iter(["", "", TRAY[:40], TRAY.replace("4", "3", 1)])
    monkeypatch.setattr(module.time, "sleep", lambda _: file.write_text(next(texts, TRAY.replace("4", "3", 1))))
    file.write_text("")
    assert document.take_in()
    assert document.text == TRAY.replace("4", "3", 1)


def test_a_file_that_is_gone_is_told_and_written_again_by_the_next_change(file: Path) -> None:
    document = Document(file)
    file.unlink()
    assert not document.take_in()
    assert "gone from its folder" in document.unsaved
    document.save()
    assert not file.exists(), "not by itself"
    document.set({"joint.tails": 5})
    assert file.read_text() == TRAY.replace("tails = 4", "tails = 5")
    assert document.unsaved == ""


@pytest.mark.parametrize(
    ("what", "number", "words"),
    [
        ("os.fsync", errno.ENOSPC, "No space left on device"),
        ("Path.open", errno.EACCES, "Permission denied"),
        ("Path.open", errno.EROFS, "Read-only file system"),
        ("move", errno.EIO, "Input/output error"),
    ],
)
def test_a_disk_that_refuses_is_told_and_tried_again(
    file: Path, monkeypatch: pytest.MonkeyPatch, what: str, number: int, words: str
) -> None:
    document = Document(file)

    def refuses(*_: Any, **__: Any) -> None:
        raise OSError(number, os.strerror(number))

    with monkeypatch.context() as patch:
        patch.setattr(f"solids.app.recipe_files.{what}", refuses)
        document.set({"joint.tails": 5})
        assert words in document.unsaved
        assert document.is_waiting
        document.set({"joint.tails": 6})
    assert file.read_text() == TRAY
    assert [path.name for path in file.parent.iterdir()] == [file.name], "nothing is left lying about"
    document.save()
    assert file.read_text() == TRAY.replace("tails = 4", "tails = 6")
    assert document.unsaved == ""
    document.undo()
    document.undo()
    assert file.read_text() == TRAY


@pytest.mark.parametrize("trap", ["large", "pipe", "link", "folder"])
def test_what_takes_the_place_of_the_file_is_told_and_left_alone(file: Path, tmp_path: Path, trap: str) -> None:
    document = Document(file)
    file.unlink()
    elsewhere = tmp_path / "elsewhere.txt"
    elsewhere.write_text("not yours")
    if trap == "large":
        with file.open("wb") as handle:
            handle.truncate(200_000_000)
    elif trap == "pipe":
        os.mkfifo(file)
    elif trap == "link":
        file.symlink_to(elsewhere)
    else:
        file.mkdir()
    before = file.lstat()
    document.set({"joint.tails": 5})
    assert document.unsaved
    assert document.is_waiting
    assert (file.lstat().st_ino, file.lstat().st_size) == (before.st_ino, before.st_size)
    assert elsewhere.read_text() == "not yours"
    file.rmdir() if trap == "folder" else file.unlink()
    document.save()
    assert file.read_text() == TRAY.replace("tails = 4", "tails = 5"), "nothing was lost"


def test_a_clock_that_is_set_back_makes_no_difference(file: Path) -> None:
    document = Document(file)
    edit(file, "tails = 4", "tails = 6")
    os.utime(file, (0, 0))
    assert document.take_in()
    assert "tails = 6" in document.text


def test_ends_of_lines_stay_as_they_were(tmp_path: Path) -> None:
    file = tray(tmp_path, text=TRAY.replace("\n", "\r\n"))
    Document(file).set({"joint.tails": 5})
    assert file.read_bytes().decode() == TRAY.replace("tails = 4", "tails = 5").replace("\n", "\r\n")


def test_text_that_is_none_is_refused(file: Path) -> None:
    with pytest.raises(InputError, match="no text"):
        with_changes(TRAY, {"title": "a\ud800b"}, "tool-tray.toml")


@pytest.mark.parametrize("seed", range(12))
def test_whatever_happens_undo_leads_back_to_the_beginning(
    file: Path, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Changes, movements, edits from outside, undo and redo in any order: the disk holds what the page shows, and at
    the end everything can be undone and made again."""
    monkeypatch.setattr(module, "SETTLED", 0.0)
    chance = random.Random(seed)
    document = Document(file)
    for _ in range(60):
        what = chance.choice(["set", "live", "take out", "outside", "undo", "redo"])
        key = chance.choice(["joint.tails", "joint.width", "pin_board.thickness", "kit.knife", "climate.home.dry"])
        if what in ("set", "live"):
            document.set({key: chance.randint(2, 99)}, live=what == "live")
        elif what == "take out":
            document.set({key: None})
        elif what == "outside":
            document.rest()
            file.write_text(with_changes(file.read_text(), {key: chance.randint(2, 99)}, "x") + "# more\n")
            assert document.take_in()
        elif document.can_undo and what == "undo":
            document.undo()
        elif document.can_redo and what == "redo":
            document.redo()
    document.rest()
    last = document.text
    assert file.read_text() == last
    steps = 0
    while document.can_undo:
        document.undo()
        steps += 1
    assert document.text == TRAY == file.read_text()
    for _ in range(steps):
        document.redo()
    assert document.text == last == file.read_text()
