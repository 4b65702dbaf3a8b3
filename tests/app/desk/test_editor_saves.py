"""How editors save: they write in place, put another file in its place, move the old one away first, or take it away
and bring it back. Each comes in by itself and is told once, as what it is, and nothing is lost."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from solids.app.desk import document as module
from solids.app.desk.document import Document
from tests.app.desk.stand_ins import TRAY, sitting_in, tray, waited
from tests.app.desk.test_routes import heard, page

WIDE = TRAY.replace("width = 96", "width = 80")
BETWEEN = 0.12
"""Between two steps of an editor that is slow (s)."""


def in_place(file: Path) -> None:
    file.write_text(WIDE)


def over(file: Path) -> None:
    other = file.with_name(".tool-tray.toml.new")
    other.write_text(WIDE)
    other.replace(file)


def backup_first(file: Path) -> None:
    file.rename(file.with_name("tool-tray.toml~"))
    time.sleep(BETWEEN)
    file.write_text(WIDE)
    file.with_name("tool-tray.toml~").unlink()


def away_and_empty_first(file: Path) -> None:
    file.unlink()
    time.sleep(BETWEEN)
    with file.open("w") as handle:
        handle.flush()
        time.sleep(BETWEEN)
        handle.write(WIDE)


def of_the_same_size_and_time(file: Path) -> None:
    before = file.stat()
    assert len(WIDE) == len(TRAY)
    file.write_text(WIDE)
    os.utime(file, ns=(before.st_atime_ns, before.st_mtime_ns))


WAYS = [in_place, over, backup_first, away_and_empty_first, of_the_same_size_and_time]


@pytest.mark.parametrize("save", WAYS)
def test_an_edit_comes_in_by_itself_however_an_editor_saves(tmp_path: Path, save: Callable[[Path], None]) -> None:
    file = tray(tmp_path)
    sitting = sitting_in(tmp_path)
    told = heard(sitting)
    with page(tmp_path, sitting) as client:
        client.get("api/piece/tool-tray")
        client.post("api/piece/tool-tray/set", json={"changes": {"joint.tails": "5"}, "live": False})
        file.write_text(TRAY)  # as the editor had it when it was opened
        waited(lambda: client.get("api/piece/tool-tray").json()["text"] == TRAY)
        time.sleep(0.3)
        told.clear()
        save(file)
        waited(lambda: any(one["event"] == "state" and "another program" in one["words"] for one in told))
        assert client.get("api/piece/tool-tray").json()["text"] == WIDE
        time.sleep(0.3)
        assert [one for one in told if one["event"] in ("trouble", "disk")] == [], "nothing was wrong"
        for _ in range(3):
            client.post("api/piece/tool-tray/undo")
        assert file.read_text() == TRAY


def test_a_file_that_goes_is_told_and_told_again_when_it_returns(tmp_path: Path) -> None:
    file = tray(tmp_path)
    sitting = sitting_in(tmp_path)
    told = heard(sitting)
    with page(tmp_path, sitting) as client:
        client.get("api/piece/tool-tray")
        file.unlink()
        waited(lambda: any(one["event"] == "disk" and "is gone" in one["unsaved"] for one in told))
        assert client.get("api/piece/tool-tray").json()["text"] == TRAY, "what was there is not lost"
        file.write_text(WIDE)
        waited(lambda: any(one["event"] == "disk" and not one["unsaved"] for one in told))
        state = client.get("api/piece/tool-tray").json()
        assert (state["text"], state["unsaved"]) == (WIDE, "")
        client.post("api/piece/tool-tray/undo")
        assert file.read_text() == TRAY


@pytest.mark.whole
def test_a_file_that_never_rests_holds_nobody_up_and_its_end_comes_in(tmp_path: Path) -> None:
    file = tray(tmp_path)
    ends = threading.Event()

    def writes() -> None:
        for number in range(10_000):
            file.write_text(TRAY.replace("width = 96", f"width = {100 + number % 100}"))
            if ends.wait(0.004):
                break
        file.write_text(WIDE)

    with page(tmp_path) as client:
        client.get("api/piece/tool-tray")
        writer = threading.Thread(target=writes)
        writer.start()
        longest = 0.0
        for tails in range(5):
            begun = time.monotonic()
            body: dict[str, Any] = {"changes": {"joint.tails": str(3 + tails)}, "live": False}
            answer = client.post("api/piece/tool-tray/set", json=body)
            longest = max(longest, time.monotonic() - begun)
            assert answer.status_code == 200, answer.text
        ends.set()
        writer.join()
        assert longest < 4 * module.LONGEST_CHANGING
        waited(lambda: client.get("api/piece/tool-tray").json()["text"] == WIDE)
        while client.get("api/piece/tool-tray").json()["can_undo"]:
            client.post("api/piece/tool-tray/undo")
        assert file.read_text() == TRAY


def test_while_an_editor_has_the_file_moved_away_it_is_not_written_in_its_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A change on the page comes in between: it goes on top of what the editor saves."""
    file = tray(tmp_path)
    document = Document(file)
    file.rename(tmp_path / "backup")
    monkeypatch.setattr(module.time, "sleep", lambda _: file.write_text(WIDE))
    document.set({"joint.tails": 5})
    assert file.read_text() == WIDE.replace("tails = 4", "tails = 5")
    assert document.unsaved == ""
