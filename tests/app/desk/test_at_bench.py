"""A piece at the bench: the steps that the papers print, and ticks that stay as long as their step says the same."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from solids.app.desk.piece.work import WAITS, work_of
from solids.base.cautions import CAUTIONS, FAILS
from solids.bench.box_procedure import box_stages
from solids.bench.procedure import corner_stages
from solids.layout.assembly import assembly_of
from solids.layout.plan import laid_out
from solids.recipe.completing.shop import NO_SHOP
from solids.recipe.text.texts import preset_text
from solids.recipe.text.toml import parse_toml
from tests.app.desk.stand_ins import TRAY, page, sitting_in, tray
from tests.app.desk.test_routes import change, trouble

ORDER = ["Lay the left board flat, show face down.", "Knock in the front board from above.", "Knock in the back board."]
PROOF = {"severity": "pass", "line": "", "findings": [], "steps": ORDER}


def plan_of(preset: str) -> Any:
    return laid_out(parse_toml(preset_text(preset), preset), (), NO_SHOP)


def steps(state: dict[str, Any]) -> list[dict[str, Any]]:
    return [one for stage in state["work"]["stages"] for one in stage["steps"]]


def ticked(state: dict[str, Any]) -> list[str]:
    return [one["step"] for one in steps(state) if one["ticked"]]


def shown(client: TestClient, name: str = "tool-tray") -> dict[str, Any]:
    answer = client.get(f"api/bench/{name}")
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def tick(client: TestClient, number: int, done: bool = True, name: str = "tool-tray") -> dict[str, Any]:
    one = steps(shown(client, name))[number]
    answer = client.post(f"api/bench/{name}/tick", json={"step": one["step"], "words": one["how"], "done": done})
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


# --- what is shown -----------------------------------------------------------------------------------


def test_a_corner_has_the_steps_that_its_papers_print_and_every_caution() -> None:
    plan = plan_of("tool-tray")
    work = work_of(plan, None)
    printed = [(stage.title, step.what, step.how) for stage in corner_stages(plan) for step in stage.steps]
    assert [(stage["title"], one["what"], one["how"]) for stage in work["stages"] for one in stage["steps"]] == printed
    assert {one["topic"] for one in work["cautions"]} == {caution.topic for caution in CAUTIONS}
    assert (work["waits"], work["fails"]) == ("", "")
    names = [one["step"] for stage in work["stages"] for one in stage["steps"]]
    assert len(set(names)) == len(names), "each step has a name of its own"
    (joint,) = work["joints"]
    assert set(joint["drawings"]) == {"face", "end"}
    assert {"words": "Gauge, tail board", "value": "12.5 mm"} in joint["figures"]


def test_a_box_has_its_order_once_it_is_proved_and_says_so_before() -> None:
    plan = plan_of("desk-drawer")
    layouts = [kind.layout for kind in assembly_of(plan).kinds]
    waiting, proved = work_of(plan, None), work_of(plan, PROOF)
    assert (waiting["waits"], proved["waits"]) == (WAITS, "")
    before, after = ({one["step"] for stage in work["stages"] for one in stage["steps"]} for work in (waiting, proved))
    assert len(after - before) == len(ORDER)
    assert before < after
    printed = [step.how for stage in box_stages(plan, layouts, ORDER) for step in stage.steps]
    assert [one["how"] for stage in proved["stages"] for one in stage["steps"]] == printed
    assert [row[0] for row in proved["cut_list"]["rows"]] == ["front", "right", "back", "left", "bottom"]
    assert len(proved["joints"]) == len(layouts) > 1


def test_a_joint_that_fails_its_proof_says_so_as_the_papers_do() -> None:
    finding = {"severity": "fail", "sentence": "It jams.", "remedy": "Give it room."}
    work = work_of(plan_of("tool-tray"), {**PROOF, "severity": "fail", "findings": [finding]})
    assert work["fails"] == FAILS
    assert work["watch"] == ["It jams. Give it room."]


# --- ticks -------------------------------------------------------------------------------------------


def test_a_tick_stays_over_a_restart_and_lies_in_the_folder_alone(tmp_path: Path) -> None:
    tray(tmp_path)
    with page(tmp_path) as client:
        first = steps(tick(client, 1))
        assert [one["ticked"] for one in first[:3]] == [False, True, False]
        tick(client, 2)
        assert ticked(tick(client, 2, done=False)) == [first[1]["step"]]
    assert sorted(path.relative_to(tmp_path).as_posix() for path in tmp_path.rglob("*") if path.is_file()) == [
        "ticks/tool-tray.json",
        "tool-tray.toml",
    ]
    with page(tmp_path) as client:
        assert ticked(shown(client)) == [first[1]["step"]]


def test_a_step_that_says_something_else_loses_its_tick_and_tells_what_it_said(tmp_path: Path) -> None:
    tray(tmp_path)
    with page(tmp_path) as client:
        for number in range(len(steps(shown(client)))):
            before = tick(client, number)
        assert all(one["ticked"] for one in steps(before))
        change(client, {"pin_board.thickness": "14"})
        after = shown(client)
        for old, new in zip(steps(before), steps(after), strict=True):
            assert new["ticked"] == (old["how"] == new["how"])
            assert new["said"] == ("" if new["ticked"] else old["how"])
        changed = [one["what"] for one in steps(after) if one["said"]]
        assert "Gauge" in changed
        assert "Try it dry" not in changed
        number = [one["what"] for one in steps(after)].index("Gauge")
        assert not steps(tick(client, number))[number]["said"], "ticked anew, it is settled"
        client.post("api/piece/tool-tray/undo")
        back = shown(client)
        assert len(ticked(back)) == len(steps(back)) - 1, "what says the same again is ticked again"


def test_nobody_ticks_words_that_have_changed_meanwhile(tmp_path: Path) -> None:
    tray(tmp_path)
    with page(tmp_path) as client:
        read = steps(shown(client))[0]
        change(client, {"pin_board.thickness": "14"})
        said = {"step": read["step"], "words": read["how"], "done": True}
        assert "something else by now" in trouble(client.post("api/bench/tool-tray/tick", json=said), 400)
        said = {"step": "Sweep the floor", "words": "Now.", "done": True}
        trouble(client.post("api/bench/tool-tray/tick", json=said), 400)
        trouble(client.post("api/bench/tool-tray/tick", json={"step": 3}), 400)
        assert not (tmp_path / "ticks").exists()


def test_steps_that_are_gone_are_told_and_those_that_wait_for_the_proof_are_not(tmp_path: Path) -> None:
    tray(tmp_path, "box", preset_text("keepsake-box"))
    file = tmp_path / "ticks" / "box.json"
    with page(tmp_path) as client:
        tick(client, 0, name="box")
        kept = json.loads(file.read_text())
        kept["ticked"]["Glue up: in this order, 2"] = "Knock in the front board."
        file.write_text(json.dumps(kept))
        assert shown(client, "box")["gone"] == ["Glue up: in this order, 2"], "the stand-in proves without an order"
    waiting = sitting_in(tmp_path)
    waiting.hands.proving.held = True  # type: ignore[attr-defined]
    with page(tmp_path, waiting) as client:
        found = shown(client, "box")
        assert (found["work"]["waits"], found["gone"]) == (WAITS, [])
        tick(client, 1, name="box")
    assert "Glue up: in this order, 2" in json.loads(file.read_text())["ticked"], "it is kept meanwhile"


def test_begin_again_clears_all_and_can_be_taken_back(tmp_path: Path) -> None:
    tray(tmp_path)
    with page(tmp_path) as client:
        tick(client, 0)
        both = ticked(tick(client, 3))
        empty = client.post("api/bench/tool-tray/again").json()
        assert (ticked(empty), empty["can_go_back"]) == ([], True)
        again = client.post("api/bench/tool-tray/again").json()
        assert again["can_go_back"], "to clear nothing leaves the way back"
        tick(client, 1)
        back = client.post("api/bench/tool-tray/back").json()
        assert back["can_go_back"] is False
        assert set(both) < set(ticked(back)), "beside what was ticked since"


def test_ticks_go_with_their_recipe_and_no_other_recipe_gets_them(tmp_path: Path) -> None:
    tray(tmp_path)
    with page(tmp_path) as client:
        one = ticked(tick(client, 0))
        assert client.post("api/shelf/rename", json={"name": "tool-tray", "title": "my tray"}).status_code == 200
        assert ticked(shown(client, "my-tray")) == one
        copied = client.post("api/shelf/copy", json={"name": "my-tray"}).json()["name"]
        assert ticked(shown(client, copied)) == []
        away = client.post("api/shelf/away", json={"name": "my-tray"}).json()["name"]
        assert list((tmp_path / "ticks").iterdir()) == []
        new = client.post("api/shelf/new", json={"preset": "tool-tray", "title": "my tray"}).json()["name"]
        assert ticked(shown(client, new)) == []
        back = client.post("api/shelf/back", json={"name": away}).json()["name"]
        assert (back != new, ticked(shown(client, back))) == (True, one)
        (tmp_path / f"{back}.toml").unlink()
        another = client.post("api/shelf/new", json={"preset": "tool-tray", "title": back}).json()["name"]
        assert ticked(shown(client, another)) == [], "ticks of a recipe that was taken away by hand wait for it"


@pytest.mark.parametrize(
    "text", ["", "[]", "{", '{"ticked": {"a": 1}, "cleared": {}}', '{"ticked": []}', "[" * 100_000], ids=str
)
def test_a_file_that_holds_no_ticks_is_told_and_left_alone(tmp_path: Path, text: str) -> None:
    tray(tmp_path)
    (tmp_path / "ticks").mkdir()
    file = tmp_path / "ticks" / "tool-tray.json"
    file.write_text(text)
    with page(tmp_path) as client:
        assert "holds no ticks" in trouble(client.get("api/bench/tool-tray"), 400)
        trouble(client.post("api/bench/tool-tray/again"), 400)
    assert file.read_text() == text


def test_nothing_is_read_or_written_through_a_link(tmp_path: Path) -> None:
    folder, elsewhere = tmp_path / "recipes", tmp_path / "elsewhere"
    folder.mkdir()
    elsewhere.mkdir()
    tray(folder)
    (folder / "ticks").symlink_to(elsewhere)
    with page(folder) as client:
        assert "link to another place" in trouble(client.get("api/bench/tool-tray"), 400)
        (folder / "ticks").unlink()
        (folder / "ticks").mkdir()
        (elsewhere / "ticks.json").write_text('{"ticked": {}, "cleared": {}}')
        (folder / "ticks" / "tool-tray.json").symlink_to(elsewhere / "ticks.json")
        assert "link to another place" in trouble(client.get("api/bench/tool-tray"), 400)
    assert (elsewhere / "ticks.json").read_text() == '{"ticked": {}, "cleared": {}}'


def test_what_cannot_be_cut_is_told_above_the_last_good_order_of_work(tmp_path: Path) -> None:
    file = tray(tmp_path)
    with page(tmp_path) as client:
        good = tick(client, 0)
        change(client, {"joint.tails": "60"})
        bad = shown(client)
        assert bad["good"] is False
        assert bad["problems"]
        assert bad["work"]["stages"] == good["work"]["stages"]
    with page(tmp_path) as client:
        assert shown(client)["work"] is None, "after a restart no good joint is known"
        file.write_text(TRAY)
        assert ticked(shown(client)) == ticked(good)
