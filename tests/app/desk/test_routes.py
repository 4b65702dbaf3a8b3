"""The page's server as stories: two tabs, edits from outside, strangers, odd names, and bodies that are too large."""

from __future__ import annotations

import json
import os
import shutil
import threading
import time
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from solids.app.desk.events import Events
from solids.app.desk.serving.server import POLICY
from tests.app.desk.stand_ins import BASE, KEY, PORT, TRAY, page, sitting_in, tray, waited

TAILS_5 = TRAY.replace("tails = 4", "tails = 5")


def change(client: TestClient, changes: dict[str, Any], name: str = "tool-tray", live: bool = False) -> dict[str, Any]:
    answer = client.post(f"api/piece/{name}/set", json={"changes": changes, "live": live})
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def trouble(answer: Any, status: int) -> str:
    assert answer.status_code == status, answer.text
    assert set(answer.json()) == {"trouble"}
    words = str(answer.json()["trouble"])
    assert "Traceback" not in words
    assert words
    return words


# --- a piece -----------------------------------------------------------------------------------------


def test_a_change_is_shown_saved_and_proved(tmp_path: Path) -> None:
    file = tray(tmp_path)
    with page(tmp_path) as client:
        first = client.get("api/piece/tool-tray").json()
        assert (first["name"], first["version"], first["tails"], first["can_undo"]) == ("tool-tray", 1, 4, False)
        state = change(client, {"joint.tails": "5"})
        assert file.read_text() == TAILS_5
        assert (state["version"], state["tails"], state["changed"]) == (2, 5, ["joint.tails"])
        assert (state["can_undo"], state["can_redo"], state["unsaved"]) == (True, False, "")
        assert state["proof"]["proof"]["severity"] == "pass"
        assert client.get(state["proof"]["model_at"]).text == "{}"
        assert client.post("api/piece/tool-tray/undo").json()["can_redo"] is True
        assert file.read_text() == TRAY
        assert client.post("api/piece/tool-tray/redo").json()["tails"] == 5
        assert "nothing to do again" in trouble(client.post("api/piece/tool-tray/redo"), 400)


def test_what_cannot_be_cut_stays_on_disk_and_nothing_is_proved_above_it(tmp_path: Path) -> None:
    file = tray(tmp_path)
    with page(tmp_path) as client:
        assert client.get("api/piece/tool-tray").json()["proof"]
        state = change(client, {"joint.tails": "60"})
        assert "tails = 60" in file.read_text()
        assert state["good"] is False
        assert state["tails"] == 4, "the last good joint stays"
        assert state["proof"] is None
        assert [one["key"] for one in state["problems"]] == ["joint.width"]
        (one,) = client.get("api/shelf").json()["recipes"]
        assert one["state"] == "fails"
        assert one["why"]
        again = change(client, {"joint.tails": None})
        assert again["good"] is True


def test_a_value_is_read_as_a_maker_types_it(tmp_path: Path) -> None:
    file = tray(tmp_path)
    with page(tmp_path) as client:
        change(client, {"joint.slope": "1:7", "joint.pin": "1/8 in", "kit.chisels": '[3, "1/4 in"]', "title": "2026"})
        text = file.read_text()
        for line in ('slope = "1:7"', 'pin = "1/8 in"', 'chisels = [3, "1/4 in"]', 'title = "2026"'):
            assert line in text, line
        said = trouble(client.post("api/piece/tool-tray/set", json={"changes": {"joint.tail": 4, "kit.x": None}}), 400)
        assert "the nearest known key is joint.tails" in said
        assert "kit.x" in said, "all at once"
        assert file.read_text() == text


def test_a_handle_moves_and_stops_where_the_joint_could_not_be_laid_out(tmp_path: Path) -> None:
    file = tray(tmp_path)
    with page(tmp_path) as client:
        for _ in range(4):
            answer = client.post("api/piece/tool-tray/move", json={"handle": "baseline", "by_mm": 0.5, "live": True})
            assert answer.status_code == 200, answer.text
        trouble(client.post("api/piece/tool-tray/move", json={"handle": "baseline", "by_mm": 9e4, "live": True}), 400)
        state = client.post("api/piece/tool-tray/move", json={"handle": "baseline", "by_mm": 0, "live": False}).json()
        assert state["good"] is True
        assert file.read_text() == TRAY.replace("thickness = 12", "thickness = 14.0")
        assert client.post("api/piece/tool-tray/undo").json()["text"] == TRAY, "a movement is one step"
        said = trouble(client.post("api/piece/tool-tray/move", json={"handle": "lid", "by_mm": 1}), 400)
        assert "nothing that can be moved" in said


def test_a_handle_that_rests_is_saved_and_proved_without_being_let_go(tmp_path: Path) -> None:
    file = tray(tmp_path)
    sitting = sitting_in(tmp_path)
    with page(tmp_path, sitting) as client:
        client.get("api/piece/tool-tray")
        begun = time.monotonic()
        state = change(client, {"pin_board.thickness": "13"}, live=True)
        waited(lambda: "thickness = 13" in file.read_text())
        waited(lambda: ("tool-tray", state["version"]) in sitting.hands.proving.asked)  # type: ignore[attr-defined]
        assert time.monotonic() - begun < 1.0


def test_while_a_handle_moves_on_and_on_it_is_saved_within_a_second(tmp_path: Path) -> None:
    tray(tmp_path)
    now = [100.0]
    sitting = sitting_in(tmp_path)
    sitting._clock = lambda: now[0]
    sitting.state("tool-tray")
    saved = []
    for step in range(60):
        now[0] += 0.02
        sitting.set("tool-tray", {"pin_board.thickness": 12 + step / 100}, live=True)
        sitting.tick()
        saved.append(not sitting._open["tool-tray"].document.is_waiting)
    assert 1 <= sum(saved) <= 4, "now and then, not at each of 60 steps"
    gaps = "".join("x" if one else "." for one in saved).split("x")
    assert max(map(len, gaps)) * 0.02 <= 1.0


# --- two tabs, and another program -----------------------------------------------------------------------


def test_two_tabs_do_not_fight(tmp_path: Path) -> None:
    file = tray(tmp_path)
    with page(tmp_path) as one:
        change(one, {"joint.tails": "5"})
        with_old_state_in_mind = change(one, {"joint.width": "100"})
        assert "tails = 5" in with_old_state_in_mind["text"]
        many = [
            threading.Thread(target=change, args=(one, {key: str(value)}))
            for key, value in [
                ("joint.tails", 6),
                ("pin_board.thickness", 13),
                ("tail_board.thickness", 11),
                ("kit.knife", 0.7),
            ]
        ]
        for thread in many:
            thread.start()
        for thread in many:
            thread.join()
        text = file.read_text()
    for line in ("tails = 6", "thickness = 13", "thickness = 11", "knife = 0.7", "width = 100"):
        assert line in text, line


def heard(sitting: Any) -> list[dict[str, Any]]:
    """What is told to the pages from now on."""
    told: list[dict[str, Any]] = []
    tell = sitting.events.tell
    sitting.events.tell = lambda event: (told.append(event), tell(event))
    return told


def test_an_edit_from_outside_is_told_within_a_second_and_undone_from_the_page(tmp_path: Path) -> None:
    file = tray(tmp_path)
    sitting = sitting_in(tmp_path)
    told = heard(sitting)
    with page(tmp_path, sitting) as client:
        client.get("api/piece/tool-tray")
        time.sleep(0.3)
        begun = time.monotonic()
        file.write_text(TAILS_5)
        waited(lambda: any(one["event"] == "state" and "another program" in one["words"] for one in told))
        assert time.monotonic() - begun < 1.5
        assert client.get("api/piece/tool-tray").json()["tails"] == 5
        assert any(one["event"] == "shelf" for one in told)
        client.post("api/piece/tool-tray/undo")
        assert file.read_text() == TRAY


def test_fifty_saves_a_second_by_another_program_lose_nothing(tmp_path: Path) -> None:
    file = tray(tmp_path)
    with page(tmp_path) as client:
        client.get("api/piece/tool-tray")
        for number in range(50):
            file.write_text(TRAY.replace("width = 96", f"width = {96 + number}"))
            if number % 10 == 5:
                change(client, {"kit.knife": str(number / 100)})
            time.sleep(0.02)
        waited(lambda: "width = 145" in client.get("api/piece/tool-tray").json()["text"])
        while client.get("api/piece/tool-tray").json()["can_undo"]:
            client.post("api/piece/tool-tray/undo")
        assert file.read_text() == TRAY


@pytest.mark.whole
def test_a_file_removed_and_a_folder_removed_are_told_and_nothing_is_lost(tmp_path: Path) -> None:
    folder = tmp_path / "recipes"
    folder.mkdir()
    file = tray(folder)
    sitting = sitting_in(folder)
    told = heard(sitting)
    with page(folder, sitting) as client:
        client.get("api/piece/tool-tray")
        file.unlink()
        waited(lambda: any(one["event"] == "trouble" and "gone from its folder" in one["words"] for one in told))
        assert "gone" in client.get("api/piece/tool-tray").json()["unsaved"]
        shutil.rmtree(folder)
        assert change(client, {"joint.tails": "5"})["unsaved"] == ""
        assert file.read_text() == TAILS_5
        time.sleep(2.5)
        file.write_text(TRAY)
        waited(lambda: sum("another program" in one.get("words", "") for one in told))


# --- the shelf -----------------------------------------------------------------------------------------


def test_the_shelf_from_the_first_recipe_to_the_last(tmp_path: Path) -> None:
    sitting = sitting_in(tmp_path)
    with page(tmp_path, sitting) as client:
        shelf = client.get("api/shelf").json()
        assert (shelf["folder"], shelf["recipes"], shelf["away"]) == (str(tmp_path.resolve()), [], [])
        assert {"name": "tool-tray", "title": "tool tray"} in shelf["presets"]

        def do(what: str, **said: str) -> str:
            answer = client.post(f"api/shelf/{what}", json=said)
            assert answer.status_code == 200, answer.text
            return str(answer.json()["name"])

        assert do("new", preset="tool-tray", title="Ann's tray") == "ann-s-tray"
        assert do("new", preset="keepsake-box", title="Ann's tray") == "ann-s-tray-2"
        assert do("copy", name="ann-s-tray") == "ann-s-tray-copy"
        marks = "title,drawer side\nunits,mm\ntaken from,tails\nouter marks at,finished face\nwidth,60\ntail board,10\n"
        marks += "pin board,12\nouter,baseline\n6,7.5\n26,24.5\n33,34.5\n54,52.5\n"
        assert do("measured", title="old drawer", marks=marks) == "old-drawer"
        assert do("take-in", file_name="C:\\my\\x.toml", text=TRAY) == "tool-tray"
        assert do("take-in", file_name="../../x.toml", text=TRAY.replace('title = "tool tray"', "")) == "x"
        change(client, {"joint.tails": "5"}, "tool-tray")
        assert do("rename", name="tool-tray", title="Plane till") == "plane-till"
        assert 'title = "Plane till"' in (tmp_path / "plane-till.toml").read_text()
        assert client.post("api/piece/plane-till/undo").json()["title"] == "tool tray", "its undo goes along"
        assert do("away", name="plane-till") == "plane-till"
        shelf = client.get("api/shelf").json()
        assert [one["name"] for one in shelf["away"]] == ["plane-till"]
        assert (tmp_path / "put away" / "plane-till.toml").exists()
        trouble(client.get("api/piece/plane-till"), 400)
        assert do("back", name="plane-till") == "plane-till"

        by_name = {one["name"]: one for one in client.get("api/shelf").json()["recipes"]}
        assert sorted(by_name) == ["ann-s-tray", "ann-s-tray-2", "ann-s-tray-copy", "old-drawer", "plane-till", "x"]
        assert by_name["ann-s-tray"]["size"] == "96 x 12 x 10 mm"
        assert [by_name[name]["piece"] for name in ("ann-s-tray", "ann-s-tray-2")] == ["corner", "box"]
        proved = {name for name, one in by_name.items() if one["state"] == "proved"}
        assert proved == {"plane-till"}, "what was proved is known by its text, whatever it is called"
        client.get("api/piece/ann-s-tray")
        by_name = {one["name"]: one for one in client.get("api/shelf").json()["recipes"]}
        assert by_name["ann-s-tray"]["state"] == "proved"
        picture = client.get(by_name["ann-s-tray"]["picture"])
        assert picture.headers["content-type"] == "image/svg+xml"
        assert b"<polygon" in picture.content
        given = client.get("api/shelf/hand-out/ann-s-tray")
        assert given.text == (tmp_path / "ann-s-tray.toml").read_text()
        assert given.headers["content-disposition"] == "attachment; filename*=UTF-8''ann-s-tray.toml"


def test_a_shelf_full_of_traps_is_told_recipe_by_recipe(tmp_path: Path) -> None:
    tray(tmp_path, "good")
    (tmp_path / "broken.toml").write_text("a = = 1")
    (tmp_path / "binary.toml").write_bytes(b"\xff\xfe\x00")
    os.mkfifo(tmp_path / "pipe.toml")
    with (tmp_path / "large.toml").open("wb") as handle:
        handle.truncate(200_000_000)
    secret = tmp_path / "secret.txt"
    secret.write_text('title = "secret"')
    (tmp_path / "link.toml").symlink_to(secret)
    (tmp_path / "folder.toml").mkdir()
    (tmp_path / ".hidden.toml").write_text(TRAY)
    with page(tmp_path) as client:
        answer = client.get("api/shelf")
        states = {one["name"]: (one["state"], one["why"]) for one in answer.json()["recipes"]}
        assert states.pop("good")[0] == "not yet proved"
        assert sorted(states) == ["binary", "broken", "folder", "large", "link", "pipe"]
        assert [one["name"] for one in answer.json()["left_out"]] == [".hidden.toml"]
        assert {state for state, _ in states.values()} == {"cannot be read"}
        assert "far more than a recipe" in states["large"][1]
        assert "link to another place" in states["link"][1]
        assert "secret" not in answer.text
        for name in states:
            if name not in ("broken",):
                trouble(client.get(f"api/piece/{name}"), 400)
        assert client.get("api/piece/broken").json()["good"] is False


def test_what_is_no_title_or_no_preset_is_refused_in_words(tmp_path: Path) -> None:
    with page(tmp_path) as client:
        said = trouble(client.post("api/shelf/new", json={"preset": "tool-try", "title": "x"}), 400)
        assert "did you mean 'tool-tray'" in said
        for title in ("", "x" * 81, "a\nb", "\ud800"):
            trouble(client.post("api/shelf/new", content=json.dumps({"preset": "tool-tray", "title": title})), 400)
        trouble(client.post("api/shelf/new", json={"preset": "/etc/passwd", "title": "x"}), 400)
        trouble(client.post("api/shelf/measured", json={"title": "x", "marks": "nonsense"}), 400)
        trouble(client.post("api/shelf/take-in", json={"file_name": "x", "text": "a = = 1"}), 400)
    assert list(tmp_path.iterdir()) == []


# --- files that were made ------------------------------------------------------------------------------


def test_what_was_made_is_listed_opened_and_kept_apart_from_our_own_page(tmp_path: Path) -> None:
    tray(tmp_path)
    with page(tmp_path) as client:
        assert client.get("api/made/tool-tray").json() == []
        trouble(client.get("api/made/tool-tray.zip"), 400)
        assert client.post("api/make/tool-tray", json={"wanted": ["corner"]}).json() == {"id": "1"}
        assert "tick at least one" in trouble(client.post("api/make/tool-tray", json={"wanted": []}), 400)
        assert "being made any more" in trouble(client.post("api/make/stop", json={"id": "1"}), 400)
        files = {one["file"]: one["at"] for one in client.get("api/made/tool-tray").json()}
        assert sorted(files) == ["boards/tail-board.stl", "booklet.pdf", "corner.html"]
        booklet = client.get(files["booklet.pdf"])
        assert booklet.text == "corner"
        assert booklet.headers["content-disposition"].startswith("inline")
        assert client.get(files["boards/tail-board.stl"]).headers["content-disposition"].startswith("attachment")
        assert "sandbox allow-scripts" in client.get(files["corner.html"]).headers["content-security-policy"]
        assert client.get("api/made/tool-tray.zip").content == b"PK"
        (tmp_path / "exports" / "tool-tray").rename(tmp_path / "elsewhere")
        (tmp_path / "exports" / "tool-tray").symlink_to(tmp_path / "elsewhere")
        assert "link to another place" in trouble(client.get("api/made/tool-tray"), 400)


# --- strangers ------------------------------------------------------------------------------------------

PATHS = ("", "web/bench.js", "api/shelf", "api/events", "api/piece/tool-tray", "api/controls", "api/made/tool-tray.zip")


@pytest.mark.parametrize(
    "headers",
    [
        {"Host": "evil.example"},
        {"Host": f"evil.example:{PORT}"},
        {"Host": "127.0.0.1:80"},
        {"Host": ""},
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": f"https://127.0.0.1:{PORT}"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
    ids=str,
)
def test_a_stranger_is_refused_everywhere_and_learns_nothing(tmp_path: Path, headers: dict[str, str]) -> None:
    file = tray(tmp_path)
    with page(tmp_path) as client:
        for path in PATHS:
            answer = client.get(path, headers=headers)
            assert answer.status_code == 403
            assert "tray" not in answer.text
        answer = client.post("api/piece/tool-tray/set", json={"changes": {"joint.tails": "5"}}, headers=headers)
        assert "browser on its own machine" in trouble(answer, 403)
    assert file.read_text() == TRAY


@pytest.mark.parametrize("start", ["/", "/another-key/", f"/{KEY}", f"/{KEY}x/", f"/{KEY.upper()}/", "//", f"//{KEY}/"])
def test_nothing_is_answered_without_the_key(tmp_path: Path, start: str) -> None:
    tray(tmp_path)
    with page(tmp_path) as client:
        for path in PATHS:
            answer = client.get(f"http://127.0.0.1:{PORT}{start}{path}")
            assert answer.status_code == 403, path
            assert KEY not in answer.text
            assert "terminal" in answer.text


def test_the_ticket_for_our_own_browser_holds_once(tmp_path: Path) -> None:
    with page(tmp_path) as client:
        first = client.get(f"http://127.0.0.1:{PORT}/ticket")
        assert (first.status_code, first.headers["location"]) == (303, f"/{KEY}/")
        assert client.get(f"http://127.0.0.1:{PORT}/ticket").status_code == 403


def test_our_own_pages_are_let_in_with_strict_headers(tmp_path: Path) -> None:
    tray(tmp_path)
    with page(tmp_path) as client:
        own = {"Origin": f"http://127.0.0.1:{PORT}", "Sec-Fetch-Site": "same-origin"}
        for path in ("api/shelf", "api/nothing", "api/piece/none"):
            answer = client.get(path, headers=own)
            assert answer.status_code != 403
            assert answer.headers["content-security-policy"] == POLICY
            assert answer.headers["cache-control"] == "no-store"
            assert answer.headers["x-content-type-options"] == "nosniff"
            assert answer.headers["referrer-policy"] == "no-referrer"
            assert answer.headers["cross-origin-resource-policy"] == "same-origin"
        assert client.get(BASE.replace("127.0.0.1", "localhost") + "api/shelf").status_code == 200
    for part in ("default-src 'none'", "script-src 'self'", "base-uri 'none'", "form-action 'none'"):
        assert part in POLICY
    assert "unsafe" not in POLICY


@pytest.mark.parametrize(
    "name",
    [
        "../secret",
        "..%2fsecret",
        "%2e%2e%2fsecret",
        "..%5csecret",
        "put away/x",
        "put%20away%2fx",
        "/etc/passwd",
        "%2fetc%2fpasswd",
        "C:x",
        "con",
        "x%00",
        ".hidden",
        "x" * 300,
        "a%0ab",
        "*",
        "%20",
    ],
)
def test_odd_names_lead_nowhere(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "recipes"
    folder.mkdir()
    tray(tmp_path, "secret")
    tray(folder, ".hidden")
    with page(folder) as client:
        for path in (
            f"api/piece/{name}",
            f"api/picture/{name}",
            f"api/shelf/hand-out/{name}",
            f"api/made/{name}",
            f"api/model/{name}/1",
            f"web/{name}",
        ):
            answer = client.get(BASE + path)
            assert answer.status_code in (400, 403, 404), path
            assert "thickness" not in answer.text
        for what in ("copy", "away", "back"):
            trouble(client.post(f"api/shelf/{what}", json={"name": name}), 400)
    assert sorted(path.name for path in tmp_path.rglob("*")) == [".hidden.toml", "recipes", "secret.toml"]


def test_files_that_were_not_made_are_not_handed_out(tmp_path: Path) -> None:
    tray(tmp_path)
    with page(tmp_path) as client:
        client.post("api/make/tool-tray", json={"wanted": ["corner"]})
        for file in ("..%2f..%2ftool-tray.toml", "%2e%2e/%2e%2e/tool-tray.toml", "nothing.pdf", "boards"):
            trouble(client.get(f"{BASE}api/made/tool-tray/{file}"), 400)


# --- bodies ----------------------------------------------------------------------------------------------


def test_bodies_that_are_too_large_or_no_json_are_refused_in_words(tmp_path: Path) -> None:
    file = tray(tmp_path)
    with page(tmp_path) as client:
        for size in (1_000_001, 3_000_000, 20_000_000):
            said = trouble(client.post("api/piece/tool-tray/set", content=b"x" * size), 413)
            assert "over 1 MB" in said
        large = {"file_name": "x.toml", "text": "#" * 1_500_000 + TRAY}
        assert client.post("api/shelf/take-in", json=large).status_code != 413
        trouble(client.post("api/shelf/take-in", content=b" " * 2_000_001), 413)
        for body in (
            b"nonsense",
            b"[1]",
            b'{"changes": {"joint.tails": NaN}}',
            b"\xff",
            b"[" * 100_000,
            b'{"changes": 1}',
        ):
            trouble(client.post("api/piece/tool-tray/set", content=body), 400)
        trouble(client.put("api/piece/tool-tray/set", content=b"{}"), 405)
        assert "nothing at this address" in trouble(client.get("api/nothing"), 404)
    assert file.read_text() == TRAY


def test_values_that_no_recipe_can_hold_are_refused_in_words(tmp_path: Path) -> None:
    file = tray(tmp_path)
    deep: Any = "1"
    for _ in range(30):
        deep = [deep]
    with page(tmp_path) as client:
        for key, value in (
            ("title", "\ud800"),
            ("joint.flanks", deep),
            ("joint.flanks", [None]),
            ("joint.pin", "9" * 30_000),
        ):
            answer = client.post("api/piece/tool-tray/set", content=json.dumps({"changes": {key: value}}))
            trouble(answer, 400)
        for by in ("1", True, None, 1e300):
            answer = client.post("api/piece/tool-tray/move", json={"handle": "baseline", "by_mm": by})
            trouble(answer, 400)
    assert file.read_text() == TRAY


def test_half_a_sign_goes_into_no_file_and_no_answer(tmp_path: Path) -> None:
    """JSON can hold half of a sign beyond the first 65,536 of Unicode; UTF-8 cannot."""
    tray(tmp_path)
    with page(tmp_path) as client:
        for path, said in (
            ("shelf/take-in", r'{"file_name": "x.toml", "text": "title = \"a\ud800\""}'),
            ("piece/tool-tray/move", r'{"handle": "\ud800", "by_mm": 1}'),
            ("piece/tool-tray/set", r'{"changes": {"\ud800": "1"}}'),
        ):
            answer = client.post(f"api/{path}", content=said, headers={"Content-Type": "application/json"})
            assert "holds a sign that is no text" in trouble(answer, 400), path
    assert [path.name for path in tmp_path.iterdir() if path.suffix == ".toml"] == ["tool-tray.toml"]


def test_a_fault_of_ours_is_told_without_a_traceback(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tray(tmp_path)
    sitting = sitting_in(tmp_path)
    monkeypatch.setattr(sitting, "state", lambda _: 1 / 0)
    with page(tmp_path, sitting) as client:
        assert "fault of ours" in trouble(client.get("api/piece/tool-tray"), 500)


# --- news --------------------------------------------------------------------------------------------------


def test_a_stream_of_news_keeps_alive_and_ends() -> None:
    import asyncio

    async def story() -> list[bytes]:
        events = Events()
        events.begin()
        stream = events.stream(every=0.05)
        found = [await anext(stream), await anext(stream)]
        events.tell({"event": "shelf", "words": "sch\u00f6n"})
        found.append(await anext(stream))
        events.close()
        found += [part async for part in stream]
        return found

    first, idle, news = asyncio.run(story())
    assert first == b"retry: 500\n\n"
    assert idle.startswith(b":")
    assert json.loads(news.removeprefix(b"data: ")) == {"event": "shelf", "words": "sch\u00f6n"}


def test_a_page_that_does_not_listen_is_cut_off_and_holds_no_memory() -> None:
    import asyncio

    async def story() -> int:
        events = Events()
        events.begin()
        stream = events.stream()
        await anext(stream)
        waiting = asyncio.ensure_future(anext(stream))
        await asyncio.sleep(0)
        events.tell({"event": "shelf"})
        await waiting
        for _ in range(10_000):
            events.tell({"event": "shelf"})
        await asyncio.sleep(0)
        return len([part async for part in stream])

    assert asyncio.run(story()) == 0


def test_the_pages_own_files_and_nothing_else(tmp_path: Path) -> None:
    with page(tmp_path) as client:
        assert "Three.js Authors" in client.get("web/three.js").text
        for name in ("pages.py", "page.html.jinja", "library.py", ".gitignore", "__init__.py"):
            trouble(client.get(f"web/{name}"), 400)
