"""Kept states on the page's server: kept, seen beside the piece, taken, and told to every page."""

from __future__ import annotations

import threading
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from solids.app.desk.hands import Hands
from solids.app.desk.piece.state import read, state_of
from solids.app.desk.shelf.kept import MOST_KEPT
from solids.app.desk.sitting import Sitting
from solids.bench.comparing import compare, compare_tables, compare_words
from solids.recipe import preset_text
from solids.recipe.completing.shop import NO_SHOP
from tests.app.desk import stand_ins
from tests.app.desk.running import bench
from tests.app.desk.stand_ins import TRAY, page, sitting_in, tray

TAILS_5 = TRAY.replace("tails = 4", "tails = 5")


def real_sitting(folder: Path) -> Sitting:
    """With what the page really shows, and stand-ins for what takes the kernel."""

    def hands(*about: Any) -> Hands:
        return replace(
            stand_ins.hands_of(*about), read=lambda text, live: read(text, NO_SHOP, live=live), state_of=state_of
        )

    return Sitting(folder, NO_SHOP, hands)


def ask(client: TestClient, path: str, **said: Any) -> dict[str, Any]:
    answer = client.post(path, json=said) if said else client.get(path)
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def refused(client: TestClient, path: str, **said: Any) -> str:
    answer = client.post(path, json=said) if said else client.get(path)
    assert answer.status_code == 400, answer.text
    return str(answer.json()["trouble"])


def set_to(client: TestClient, name: str = "tool-tray", **changes: str) -> None:
    ask(client, f"api/piece/{name}/set", changes={key.replace("__", "."): value for key, value in changes.items()})


def kept(client: TestClient, name: str = "tool-tray", what: str = "kept") -> list[str]:
    return [one["words"] for one in ask(client, f"api/kept/{name}")[what]]


# --- a story -------------------------------------------------------------------------------------------


def test_kept_changed_compared_taken_and_undone(tmp_path: Path) -> None:
    file = tray(tmp_path)
    with page(tmp_path) as client:
        assert ask(client, "api/kept/tool-tray") == {
            "title": "tool tray",
            "suggested": "4 tails, 1:8",
            "same": "",
            "kept": [],
            "dropped": [],
        }
        one = ask(client, "api/kept/tool-tray/keep", words="")
        assert (one["number"], one["words"]) == ("1", "4 tails, 1:8")
        assert ask(client, "api/kept/tool-tray")["same"] == "4 tails, 1:8"
        set_to(client, joint__tails="5")
        assert ask(client, "api/kept/tool-tray")["suggested"] == "5 tails, 1:8"
        both = ask(client, "api/beside/tool-tray/now/1")
        assert [side["words"] for side in both["sides"]] == ["As it is now", "4 tails, 1:8"]
        assert [row["values"] for row in both["tables"][0]["rows"][:2]] == [["5", "4"], ["1:8", "1:8"]]
        left = ask(client, "api/kept/tool-tray/take", number="1")
        assert (left["number"], left["words"]) == ("2", "5 tails, 1:8"), "what it was is kept"
        assert file.read_text() == TRAY, "letter by letter, with its comments"
        assert ask(client, "api/kept/tool-tray/take", number="2")["number"] == "1", "and not kept twice"
        assert file.read_text() == TAILS_5
        ask(client, "api/piece/tool-tray/undo", x=1)
        assert file.read_text() == TRAY, "one step"
        ask(client, "api/piece/tool-tray/undo", x=1)
        assert file.read_text() == TAILS_5
        assert kept(client) == ["5 tails, 1:8", "4 tails, 1:8"]


def test_named_renamed_dropped_and_brought_back(tmp_path: Path) -> None:
    tray(tmp_path)
    with page(tmp_path) as client:
        ask(client, "api/kept/tool-tray/keep", words="for Ann")
        assert refused(client, "api/kept/tool-tray/keep", words="again") == (
            "this very state is kept already; it is called: for Ann"
        )
        assert ask(client, "api/kept/tool-tray/call", number="1", words="for Bob")["words"] == "for Bob"
        assert "60 letters" in refused(client, "api/kept/tool-tray/call", number="1", words="\n")
        ask(client, "api/kept/tool-tray/drop", number="1")
        assert (kept(client), kept(client, what="dropped")) == ([], ["for Bob"])
        assert "has no kept state" in refused(client, "api/kept/tool-tray/take", number="1")
        assert "has no kept state" in refused(client, "api/beside/tool-tray/now/1")
        ask(client, "api/kept/tool-tray/back", number="1")
        assert kept(client) == ["for Bob"]
        assert [one["kept"] for one in ask(client, "api/shelf")["recipes"]] == [1]


def test_what_is_suggested_is_called_so_once_only(tmp_path: Path) -> None:
    tray(tmp_path)
    with page(tmp_path) as client:
        for pin in ("3 mm", "4 mm", "5 mm"):
            set_to(client, joint__pin=pin)
            ask(client, "api/kept/tool-tray/keep", words="")
        found = kept(client)
        assert found[-1] == "4 tails, 1:8"
        assert len(set(found)) == 3
        assert all(words.startswith("4 tails, 1:8") for words in found)
        set_to(client, joint__pin="500 mm")
        assert ask(client, "api/kept/tool-tray")["suggested"].startswith("as it was at ")


def test_where_twenty_are_kept_nothing_is_taken_that_would_lose_what_is_there(tmp_path: Path) -> None:
    file = tray(tmp_path)
    with page(tmp_path) as client:
        for number in range(MOST_KEPT):
            set_to(client, title=f"tray {number}")
            ask(client, "api/kept/tool-tray/keep", words=f"state {number}")
        set_to(client, title="one more")
        before = file.read_text()
        assert "drop one first" in refused(client, "api/kept/tool-tray/keep", words="")
        assert "drop one first" in refused(client, "api/kept/tool-tray/take", number="3")
        assert file.read_text() == before
        ask(client, "api/kept/tool-tray/drop", number="20")
        ask(client, "api/kept/tool-tray/take", number="3")
        assert 'title = "tray 2"' in file.read_text()


# --- side by side ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "tails"), [("tool-tray", 5), ("desk-drawer", 4), ("tea-box", 3)])
def test_the_figures_are_the_rows_of_compare(tmp_path: Path, name: str, tails: int) -> None:
    """A joint, a drawer with three kinds of corners, and a box in inches."""
    tray(tmp_path, name, preset_text(name))
    with page(tmp_path, real_sitting(tmp_path)) as client:
        ask(client, f"api/kept/{name}/keep", words="before")
        set_to(client, name, joint__tails=str(tails))
        both = ask(client, f"api/beside/{name}/now/1")
    sides = [compare_tables(compare(name, given, [], [])) for given in ([f"joint.tails={tails}"], [])]
    assert len(both["tables"]) == len(sides[0])
    for table, (corner, (one,)), (same, (other,)) in zip(both["tables"], *sides, strict=True):
        assert table["corner"] == corner == same
        assert [row["values"] for row in table["rows"]] == [[a, b] for a, b in zip(one, other, strict=True)]
        assert [row["words"] for row in table["rows"]] == list(compare_words("in" if name == "tea-box" else "mm"))
    for side in both["sides"]:
        assert side["good"]
        joints = side.get("joints") or [side]
        assert all(joint["drawings"]["face"]["shapes"] for joint in joints)


def test_what_a_single_corner_asks_for_is_told_too(tmp_path: Path) -> None:
    text = preset_text("desk-drawer")
    tray(tmp_path, "desk-drawer", text)
    with page(tmp_path, real_sitting(tmp_path)) as client:
        ask(client, "api/kept/desk-drawer/keep", words="before")
        more = "\n[box.joints.back_left]\ntails = 2\npin = [4, 5]\n"
        assert "box.joints.back_left" not in text
        (tmp_path / "desk-drawer.toml").write_text(text + more)
        both = ask(client, "api/beside/desk-drawer/now/1")
        now, before = (side["keys"] for side in both["sides"])
        assert {key: now[key]["value"] for key in now if now[key]["value"] and not before[key]["value"]} == {
            "box.joints.back_left.tails": "2",
            "box.joints.back_left.pin": "[4, 5]",
        }
        (tmp_path / "kept" / "desk-drawer" / "2.toml").write_text("[box]\njoints = 3")
        assert ask(client, "api/beside/desk-drawer/now/2")["sides"][1]["good"] is False


def test_both_are_told_in_the_units_of_the_first(tmp_path: Path) -> None:
    tray(tmp_path)
    with page(tmp_path, real_sitting(tmp_path)) as client:
        ask(client, "api/kept/tool-tray/keep", words="metric")
        set_to(client, units="in", joint__width="96 mm", tail_board__thickness="10 mm", pin_board__thickness="12 mm")
        set_to(client, units="in")
        both = ask(client, "api/beside/tool-tray/now/1")
        assert [side["units"] for side in both["sides"]] == ["in", "mm"]
        rows = {row["words"]: row["values"] for row in both["tables"][0]["rows"]}
        assert len(set(rows["Glue, long grain to long grain (sq in)"])) == 1
        turned = ask(client, "api/beside/tool-tray/1/now")["tables"][0]["rows"]
        assert turned[3]["words"] == "Glue, long grain to long grain (cm2)"
        assert len(set(turned[3]["values"])) == 1


def test_what_cannot_be_laid_out_is_shown_with_its_reason(tmp_path: Path) -> None:
    tray(tmp_path)
    with page(tmp_path, real_sitting(tmp_path)) as client:
        set_to(client, joint__half_pin="0.5 mm")
        ask(client, "api/kept/tool-tray/keep", words="too thin")
        ask(client, "api/piece/tool-tray/undo", x=1)
        both = ask(client, "api/beside/tool-tray/now/1")
        good, bad = both["sides"]
        assert (good["good"], bad["good"], bad["drawings"]["face"]) == (True, False, None)
        assert [problem["key"] for problem in bad["problems"]] == ["joint.half_pin"]
        assert all(values[1] == "" for values in (row["values"] for row in both["tables"][0]["rows"]))
        (tmp_path / "kept" / "tool-tray" / "2.toml").write_bytes(b"\xff")
        assert "not UTF-8" in ask(client, "api/beside/tool-tray/2/1")["sides"][0]["problems"][0]["wrong"]
        assert "not UTF-8" in refused(client, "api/kept/tool-tray/take", number="2")
        (tmp_path / "kept" / "tool-tray" / "3.toml").write_text("a = = 1")
        broken = ask(client, "api/beside/tool-tray/3/now")["sides"][0]
        assert broken["problems"][0]["wrong"]
        ask(client, "api/kept/tool-tray/take", number="3")
        assert (tmp_path / "tool-tray.toml").read_text() == "a = = 1", "whoever takes it, gets it"
        ask(client, "api/piece/tool-tray/undo", x=1)
        assert (tmp_path / "tool-tray.toml").read_text() == TRAY


def test_the_proof_of_a_kept_state_is_asked_for_and_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tray(tmp_path)
    sitting = sitting_in(tmp_path)
    told: list[dict[str, Any]] = []
    monkeypatch.setattr(sitting.events, "tell", told.append)
    with page(tmp_path, sitting) as client:
        ask(client, "api/kept/tool-tray/keep", words="one")
        assert {"event": "shelf"} in told, "other pages hear of it"
        set_to(client, joint__tails="5")
        both = ask(client, "api/beside/tool-tray/now/1")
        assert both["sides"][0]["proof"]["proof"]["line"] == "It goes together."
        side = both["sides"][1]
        proofs = [event for event in told if event["event"] == "proof" and event["name"] == side["proof_of"]]
        assert [event["version"] for event in proofs] == [side["version"]] == [1]
        told.clear()
        ask(client, "api/kept/tool-tray/take", number="1")
        assert {"event": "shelf"} in told
        assert [event["name"] for event in told if event["event"] == "state"] == ["tool-tray"]


def test_a_kept_state_that_was_proved_is_not_proved_again(tmp_path: Path) -> None:
    tray(tmp_path)
    sitting = sitting_in(tmp_path)
    asked = sitting.hands.proving.asked  # type: ignore[attr-defined]
    with page(tmp_path, sitting) as client:
        ask(client, "api/piece/tool-tray")
        ask(client, "api/kept/tool-tray/keep", words="one")
        set_to(client, joint__tails="5")
        before = list(asked)
        side = ask(client, "api/beside/tool-tray/now/1")["sides"][1]
        assert side["proof"]["proof"]["line"] == "It goes together.", "that of the piece when it was kept"
        assert asked == before
        ask(client, "api/kept/tool-tray/keep", words="two")
        set_to(client, joint__tails="6")
        before = list(asked)
        for _ in range(3):
            sides = ask(client, "api/beside/tool-tray/2/1")["sides"]
        assert [one["proof"]["version"] for one in sides] == [2, 1]
        assert asked == before


def test_another_shop_asks_for_the_proof_of_a_kept_state_again(tmp_path: Path) -> None:
    tray(tmp_path)
    sitting = sitting_in(tmp_path)
    with page(tmp_path, sitting) as client:
        ask(client, "api/piece/tool-tray")
        ask(client, "api/kept/tool-tray/keep", words="one")
        sitting.proved.use(NO_SHOP)
        asked = sitting.hands.proving.asked  # type: ignore[attr-defined]
        asked.clear()
        first = ask(client, "api/beside/tool-tray/now/1")["sides"][1]
        assert first["proof_of"] in [name for name, _ in asked]
        asked.clear()
        ask(client, "api/beside/tool-tray/now/1")
        assert first["proof_of"] not in [name for name, _ in asked]


# --- what might go wrong ---------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["..%2ftool-tray", "kept", "%2e%2e", "tool-tray%2f..", "x%00", "no-such", "con"])
def test_odd_names_lead_nowhere(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "recipes"
    folder.mkdir()
    tray(tmp_path)
    with page(folder) as client:
        for path in (f"api/kept/{name}", f"api/beside/{name}/now/1"):
            answer = client.get(path)
            assert answer.status_code in (400, 404)
            assert "thickness" not in answer.text
        for what in ("keep", "call", "drop", "back", "take"):
            answer = client.post(f"api/kept/{name}/{what}", json={"number": "1", "words": "x"})
            assert answer.status_code in (400, 404)
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["recipes", "tool-tray.toml"]


def test_what_is_not_said_is_asked_for(tmp_path: Path) -> None:
    tray(tmp_path)
    with page(tmp_path) as client:
        assert refused(client, "api/kept/tool-tray/take", number=1) == "number: a text is wanted here"
        assert refused(client, "api/kept/tool-tray/keep", x=1) == "words: a text is wanted here"


def test_pages_that_take_and_change_at_once_lose_nothing(tmp_path: Path) -> None:
    """Whatever the order, every text that stood there can be had back by undo or is kept."""
    file = tray(tmp_path)
    with page(tmp_path) as client:
        ask(client, "api/kept/tool-tray/keep", words="four")
        set_to(client, joint__tails="5")

        def take() -> None:
            for _ in range(5):
                client.post("api/kept/tool-tray/take", json={"number": "1"})

        def change() -> None:
            for width in range(97, 102):
                client.post("api/piece/tool-tray/set", json={"changes": {"joint.width": f"{width} mm"}})

        threads = [threading.Thread(target=work) for work in (take, change)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        seen = set()
        while True:
            seen.add(file.read_text())
            if client.post("api/piece/tool-tray/undo", json={}).status_code != 200:
                break
        assert file.read_text() == TRAY
        assert TAILS_5 in seen
        assert any('width = "97 mm"' in text for text in seen)
        assert any('width = "101 mm"' in text for text in seen)


def test_a_kill_loses_no_kept_state(tmp_path: Path) -> None:
    tray(tmp_path)
    with bench(str(tmp_path), "--no-open") as there:
        assert there.ask("api/kept/tool-tray/keep", {"words": "before the kill"})[0] == 200
        there.run.kill()
        there.run.wait()
    with bench(str(tmp_path), "--no-open") as there:
        status, found = there.ask("api/kept/tool-tray")
        assert status == 200
        assert b"before the kill" in found
