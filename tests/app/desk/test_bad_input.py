"""Folders, files and disks that are not as they should be, under the server of the bench: told in words, nothing lost,
and nothing read or written elsewhere."""

from __future__ import annotations

import errno
import json
import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from solids.app.desk import document as documents
from solids.app.desk.document import Document
from solids.app.desk.proofs import Proofs
from solids.app.desk.sitting import Sitting
from solids.app.desk.work.proving import Proving
from solids.base.errors import FileError, InputError
from solids.recipe.completing.shop import NO_SHOP
from tests.app.desk.running import bench, is_administrator, rights_cannot_bind
from tests.app.desk.stand_ins import TRAY, hands_of, page, sitting_in, tray, waited

FIVE = TRAY.replace("tails = 4", "tails = 5")
PASSES = {"severity": "pass", "line": "It goes together."}


def told_by(sitting: Sitting) -> list[dict[str, Any]]:
    """What is told to the pages from now on."""
    told: list[dict[str, Any]] = []
    sitting.events.tell = told.append  # type: ignore[method-assign]
    return told


def words_of(answer: Any) -> str:
    assert answer.status_code == 400, answer.text
    return str(answer.json()["trouble"])


# --- links, and what is no file ----------------------------------------------------------------------------


@pytest.mark.parametrize("place", ["exports", "exports/tool-tray"])
def test_no_files_are_made_through_a_link_out_of_the_folder(tmp_path: Path, place: str) -> None:
    folder, outside = tmp_path / "recipes", tmp_path / "outside"
    outside.mkdir()
    tray_in = folder / place
    tray_in.parent.mkdir(parents=True)
    tray(folder)
    tray_in.symlink_to(outside)
    with page(folder) as client:
        said = words_of(client.post("api/make/tool-tray", json={"wanted": ["corner"]}))
        assert "link to another place" in said
        for address in ("api/made/tool-tray", "api/made/tool-tray.zip", "api/made/tool-tray/booklet.pdf"):
            assert "link to another place" in words_of(client.get(address))
        assert list(outside.iterdir()) == []
        tray_in.unlink()
        tray_in.write_text("x")
        assert "a folder is needed" in words_of(client.post("api/make/tool-tray", json={"wanted": ["corner"]}))


def test_a_folder_of_those_put_away_that_is_a_link_is_left_alone(tmp_path: Path) -> None:
    folder, outside = tmp_path / "recipes", tmp_path / "outside"
    folder.mkdir()
    outside.mkdir()
    tray(folder)
    tray(outside, "theirs")
    (folder / "put away").symlink_to(outside)
    with page(folder) as client:
        assert client.get("api/shelf").json()["away"] == []
        for what, name in (("away", "tool-tray"), ("back", "theirs")):
            assert "link to another place" in words_of(client.post(f"api/shelf/{what}", json={"name": name}))
    assert [path.name for path in outside.iterdir()] == ["theirs.toml"]
    assert (folder / "tool-tray.toml").read_text() == TRAY


@pytest.mark.skipif(os.name == "nt", reason="no such files on Windows")
def test_sockets_and_devices_are_told_and_not_waited_for(tmp_path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as one:
        one.bind(str(tmp_path / "socket.toml"))
        names = ["socket"]
        if is_administrator:
            os.mknod(tmp_path / "zero.toml", 0o600 | 0o020000, os.makedev(1, 5))
            names.append("zero")
        with page(tmp_path) as client:
            begun = time.monotonic()
            found = {one["name"]: one["why"] for one in client.get("api/shelf").json()["recipes"]}
            assert sorted(found) == names
            for name in names:
                assert "not an ordinary file" in found[name]
                assert "not an ordinary file" in words_of(client.get(f"api/piece/{name}"))
            assert time.monotonic() - begun < 5


def test_a_folder_that_is_gone_is_no_empty_shelf(tmp_path: Path) -> None:
    folder = tmp_path / "stick"
    folder.mkdir()
    tray(folder)
    with page(folder) as client:
        folder.rename(tmp_path / "elsewhere")
        assert "is gone" in words_of(client.get("api/shelf"))
        (tmp_path / "elsewhere").rename(folder)
        assert len(client.get("api/shelf").json()["recipes"]) == 1


@pytest.mark.parametrize("name", ["Schublade für Öl", "引き出し", "x" * 200, "a.b", "it's"])
def test_long_names_and_names_in_any_script_open_and_are_kept(tmp_path: Path, name: str) -> None:
    file = tray(tmp_path, name)
    with page(tmp_path) as client:
        answer = client.post(f"api/piece/{name}/set", json={"changes": {"joint.tails": "5"}})
        assert answer.status_code == 200, answer.text
        assert file.read_text(encoding="utf-8") == FIVE
        assert client.post("api/shelf/copy", json={"name": name}).status_code == 200
        assert client.post("api/shelf/away", json={"name": name}).json() == {"name": name}
        assert client.post("api/shelf/back", json={"name": name}).json() == {"name": name}


# --- what other programs write -----------------------------------------------------------------------------


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_ends_of_lines_stay_as_another_editor_has_them(tmp_path: Path, end: str, mark: bytes) -> None:
    file = tray(tmp_path)
    document = Document(file)
    file.write_bytes(mark + TRAY.replace("\n", end).encode())
    document.set({"joint.tails": 5, "joint.pin": 4})
    lines = file.read_bytes().decode("utf-8-sig").split(end)
    assert "tails = 5" in lines
    assert "pin = 4" in lines
    assert not [line for line in lines if "\r" in line or "\n" in line], "no line ends otherwise"


@pytest.mark.parametrize("data", [TRAY.encode("utf-16"), TRAY.replace("my", "mý").encode("latin-1")])
def test_what_is_no_utf8_is_told_and_neither_text_is_lost(tmp_path: Path, data: bytes) -> None:
    file = tray(tmp_path)
    document = Document(file)
    file.write_bytes(data)
    document.set({"joint.tails": 5})
    assert "not UTF-8" in document.unsaved
    assert (file.read_bytes(), document.text) == (data, FIVE)
    file.write_text(TRAY.replace("width = 96", "width = 100"))
    document.save()
    assert file.read_text() == FIVE.replace("width = 96", "width = 100"), "the change goes on top"
    assert document.unsaved == ""


@pytest.mark.parametrize("when", [0, 2_000_000_000, 4_000_000_000, -1_000_000])
def test_the_clock_of_a_file_decides_nothing(tmp_path: Path, when: int) -> None:
    file = tray(tmp_path)
    sitting = sitting_in(tmp_path)
    sitting.state("tool-tray")
    pictures = [sitting.recipes()["recipes"][0]["picture"]]
    for text in (FIVE, TRAY):
        file.write_text(text)
        os.utime(file, (when, when))
        assert sitting.state("tool-tray")["text"] == text
        pictures.append(sitting.recipes()["recipes"][0]["picture"])
    assert pictures[0] == pictures[2] != pictures[1], "another recipe has another picture, within one minute too"
    assert sitting.set("tool-tray", {"joint.tails": "5"})["unsaved"] == ""
    assert file.read_text() == FIVE


# --- disks ---------------------------------------------------------------------------------------------------


def test_when_the_disk_takes_what_it_refused_the_pages_are_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, now = tray(tmp_path), [100.0]
    sitting = Sitting(tmp_path, NO_SHOP, hands_of, clock=lambda: now[0])
    told = told_by(sitting)

    def full(path: Path, _text: str) -> None:
        raise FileError(f"{path.name} cannot be written: {os.strerror(errno.ENOSPC)}")

    with monkeypatch.context() as patch:
        patch.setattr(documents, "write_over", full)
        assert "No space left" in sitting.set("tool-tray", {"joint.tails": "5"})["unsaved"]
        now[0] += 1
        sitting.tick()
    now[0] += 1
    sitting.tick()
    assert [one["unsaved"] for one in told if one["event"] == "disk"] == [""]
    assert file.read_text() == FIVE


@pytest.mark.skipif(not is_administrator or sys.platform != "linux", reason="a small disk is mounted by root on Linux")
def test_a_full_disk_is_told_and_what_waits_is_saved_once_there_is_room(small_disk: Path) -> None:
    file = tray(small_disk)
    with page(small_disk) as client:
        client.get("api/piece/tool-tray")
        filled(small_disk / "fill")
        state = client.post("api/piece/tool-tray/set", json={"changes": {"joint.tails": "5"}}).json()
        assert "No space left" in state["unsaved"]
        for what, said in (
            ("new", {"preset": "tool-tray", "title": "x"}),
            ("copy", {"name": "tool-tray"}),
            ("away", {"name": "tool-tray"}),
        ):
            assert "No space left" in words_of(client.post(f"api/shelf/{what}", json=said))
        assert sorted(path.name for path in small_disk.iterdir() if path.is_file()) == ["fill", "tool-tray.toml"]
        assert file.read_text() == TRAY
        (small_disk / "fill").unlink()
        waited(lambda: file.read_text() == FIVE)


def filled(file: Path) -> None:
    """Takes all the room there is."""
    number = os.open(file, os.O_CREAT | os.O_WRONLY)
    with suppress(OSError):
        while True:
            os.write(number, bytes(4096))
    os.close(number)


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    done = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=200k", "tmpfs", str(tmp_path)], check=False)
    if done.returncode:
        pytest.skip("no disk can be mounted here")
    yield tmp_path
    subprocess.run(["umount", "-l", str(tmp_path)], check=True)


@pytest.mark.skipif(rights_cannot_bind, reason="no program here for which the rights of files hold")
def test_a_folder_and_a_file_without_rights_are_told(tmp_path: Path) -> None:
    folder = tmp_path / "recipes"
    folder.mkdir()
    file = tray(folder)
    with bench(str(folder), bound=True) as there:

        def ask(path: str, body: object = None) -> dict[str, Any]:
            found: dict[str, Any] = json.loads(there.ask(path, body)[1])
            return found

        folder.chmod(0o500)
        state = ask("api/piece/tool-tray/set", {"changes": {"joint.tails": "5"}})
        assert "Permission denied" in state["unsaved"]
        for what, said in (
            ("new", {"preset": "tool-tray", "title": "x"}),
            ("rename", {"name": "tool-tray", "title": "other"}),
            ("away", {"name": "tool-tray"}),
        ):
            assert "Permission denied" in ask(f"api/shelf/{what}", said)["trouble"]
        assert file.read_text() == TRAY
        folder.chmod(0o700)
        waited(lambda: file.read_text() == FIVE)
        file.chmod(0)
        (one,) = ask("api/shelf")["recipes"]
        assert (one["state"], "Permission denied" in one["why"]) == ("cannot be read", True)
        folder.chmod(0)
        assert "cannot be read" in ask("api/shelf")["trouble"]
        folder.chmod(0o700)


# --- a sitting that goes on -----------------------------------------------------------------------------------


def test_a_recipe_that_makes_trouble_stops_no_other(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tray(tmp_path, "bad")
    good, now = tray(tmp_path, "good"), [100.0]
    sitting = Sitting(tmp_path, NO_SHOP, hands_of, clock=lambda: now[0])
    told = told_by(sitting)
    for name in ("bad", "good"):
        sitting.state(name)
        sitting.set(name, {"joint.tails": "5"}, live=True)
    save = Document.save

    def saves(document: Document) -> None:
        if document.name == "bad":
            raise ZeroDivisionError
        save(document)

    monkeypatch.setattr(Document, "save", saves)
    for _ in range(5):
        now[0] += 1
        sitting.tick()
    assert good.read_text() == FIVE
    assert sum(one["event"] == "trouble" and "fault of ours" in one["words"] for one in told) == 1, "told once"


def test_a_shop_that_makes_trouble_stops_no_recipe(tmp_path: Path) -> None:
    file, now = tray(tmp_path), [100.0]
    sitting = Sitting(tmp_path, NO_SHOP, hands_of, clock=lambda: now[0])
    told = told_by(sitting)
    sitting.own_shop = SimpleNamespace(tick=lambda: 1 // 0)  # type: ignore[assignment]
    sitting.state("tool-tray")
    sitting.set("tool-tray", {"joint.tails": "5"}, live=True)
    for _ in range(5):
        now[0] += 1
        sitting.tick()
    assert file.read_text() == FIVE
    assert sum(one["event"] == "trouble" and "fault of ours" in one["words"] for one in told) == 1, "told once"


def test_a_movement_that_is_refused_as_it_is_let_go_has_ended(tmp_path: Path) -> None:
    file = tray(tmp_path)
    sitting = sitting_in(tmp_path)
    sitting.move("tool-tray", "baseline", 1.0, live=True)
    with pytest.raises(InputError):
        sitting.move("tool-tray", "baseline", 9e4)
    assert "thickness = 13" in file.read_text()
    sitting.move("tool-tray", "baseline", 1.0)
    assert "thickness = 13" in sitting.undo("tool-tray")["text"], "the next is a step of its own"


def test_other_windows_hear_of_a_new_name_and_of_what_is_put_away(tmp_path: Path) -> None:
    tray(tmp_path)
    sitting = sitting_in(tmp_path)
    told = told_by(sitting)
    sitting.rename("tool-tray", "Plane till")
    sitting.put_away("plane-till")
    moves = [one for one in told if one["event"] in ("renamed", "away")]
    assert moves == [
        {"event": "renamed", "name": "tool-tray", "to": "plane-till"},
        {"event": "away", "name": "plane-till"},
    ]


@pytest.mark.whole
def test_a_proof_that_comes_late_is_not_that_of_the_next_piece_of_the_name() -> None:
    told: list[dict[str, Any]] = []
    proving = Proving(told.append)
    try:
        proving.submit("a", 1, TRAY)
        waited(lambda: proving._at_work is not None)
        proving.forget("a")
        proving.submit("b", 1, TRAY)
        waited(lambda: any(one["event"] == "proof" and one["name"] == "b" for one in told), 120)
        assert proving.model("a", 1) is None
        assert not [one for one in told if one["name"] == "a"]
    finally:
        proving.close()


# --- what is known of proofs -------------------------------------------------------------------------------


def state_in(folder: Path, file: Path) -> str:
    sitting = Sitting(folder, NO_SHOP, hands_of, proofs=file)
    (one,) = sitting.recipes()["recipes"]
    return str(one["state"])


def test_what_was_proved_is_known_after_a_restart_by_the_very_text(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, kept = tmp_path / "recipes", tmp_path / "cache" / "proofs.json"
    folder.mkdir()
    file = tray(folder)
    sitting = Sitting(folder, NO_SHOP, hands_of, proofs=kept)
    sitting.state("tool-tray")
    sitting.close()
    assert state_in(folder, kept) == "proved"
    file.write_text(f"{TRAY}# one more word\n")
    assert state_in(folder, kept) == "not yet proved"
    file.write_text(TRAY)
    assert state_in(folder, kept) == "proved"
    monkeypatch.setattr("solids.app.desk.proofs._versions", lambda: ("another", "kernel"))
    assert state_in(folder, kept) == "not yet proved"


@pytest.mark.parametrize(
    "harm",
    [
        lambda file: file.write_text("{"),
        lambda file: file.write_text("[]"),
        lambda file: file.write_text("[" * 100_000),
        lambda file: file.write_bytes(b"\xff"),
        lambda file: file.write_text(file.read_text().replace("pass", "fine")),
        lambda file: file.write_text(file.read_text()[:-5]),
        lambda file: (file.unlink(), os.mkfifo(file)),
        lambda file: (file.rename(file.with_suffix(".was")), file.symlink_to(file.with_suffix(".was"))),
        lambda file: (file.unlink(), file.mkdir()),
    ],
)
def test_a_damaged_file_of_proofs_counts_as_none(tmp_path: Path, harm: Callable[[Path], object]) -> None:
    folder, kept = tmp_path / "recipes", tmp_path / "proofs.json"
    folder.mkdir()
    tray(folder)
    proofs = Proofs(NO_SHOP, kept)
    proofs.add(TRAY, PASSES)
    proofs.save()
    assert state_in(folder, kept) == "proved"
    harm(kept)
    assert state_in(folder, kept) == "not yet proved"
    again = Proofs(NO_SHOP, kept)
    again.add(TRAY, PASSES)
    again.save()
    assert again.of(TRAY) == ("pass", "It goes together.")


def test_two_sittings_keep_what_both_have_proved(tmp_path: Path) -> None:
    one, two = (Proofs(NO_SHOP, tmp_path / "proofs.json") for _ in range(2))
    one.add(TRAY, PASSES)
    two.add(FIVE, {"severity": "fail", "line": "It would not go together."})
    one.save()
    two.save()
    both = Proofs(NO_SHOP, tmp_path / "proofs.json")
    assert both.of(TRAY) == ("pass", "It goes together.")
    assert both.of(FIVE) == ("fail", "It would not go together.")
    shutil.rmtree(tmp_path)
    both.add("x", PASSES)
    both.save()
