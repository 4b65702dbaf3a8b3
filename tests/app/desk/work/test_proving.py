"""The process that proves: newest first, started again where it ends, and no larger after many proofs."""

from __future__ import annotations

import json
import queue
import sys
import threading
import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from solids.app.desk.work import proving
from solids.app.desk.work.proving import Proving
from solids.recipe import preset_text
from solids.recipe.text.shop_file import shop_of

TRAY = preset_text("tool-tray")
INCHES = 'units = "in"\n[joint]\nwidth = 4\n[tail_board]\nthickness = "3/8 in"\n[pin_board]\nthickness = 0.5\n'
WAIT = 120.0

Events = queue.Queue[dict[str, Any]]


@pytest.fixture(scope="module")
def at_work() -> Iterator[tuple[Proving, Events]]:
    events: Events = queue.Queue()
    found = Proving(events.put)
    yield found, events
    found.close()


def test_a_proof_comes_with_its_solid(at_work: tuple[Proving, Events]) -> None:
    found, events = at_work
    found.submit("tray", 7, TRAY)
    event = events.get(timeout=WAIT)
    assert (event["event"], event["name"], event["version"]) == ("proof", "tray", 7)
    proof = event["proof"]
    assert proof["severity"] == "pass"
    assert proof["line"].startswith("It goes together: ")
    passed = sum(finding["severity"] == "pass" for finding in proof["findings"])
    assert f" {passed} checks passed" in proof["line"]
    scene = json.loads(found.model("tray", 7) or "")
    assert [board["name"] for board in scene["states"]["cut"]] == ["tail board", "pin board"]
    assert found.model("tray", 6) is None
    assert found.model("other", 7) is None


def test_what_fails_says_so_first_in_the_makers_units(at_work: tuple[Proving, Events]) -> None:
    found, events = at_work
    found.submit("tray", 8, f'{INCHES}[fit]\nflank_gap = "-0.2 mm"\n')
    event = events.get(timeout=WAIT)
    assert event["proof"]["severity"] == "fail"
    assert event["proof"]["line"].startswith("It would not go together. ")
    assert event["proof"]["findings"][0]["severity"] == "fail"
    assert " in" in event["proof"]["line"]


def test_a_recipe_that_cannot_be_laid_out_is_trouble_in_words(at_work: tuple[Proving, Events]) -> None:
    found, events = at_work
    found.submit("tray", 9, "[joint]\nwidth = 96\n")
    event = events.get(timeout=WAIT)
    assert event["event"] == "trouble"
    assert event["version"] == 9
    assert "tail_board" in event["words"]


def test_the_newest_of_many_is_told(at_work: tuple[Proving, Events]) -> None:
    found, events = at_work
    for version in range(10, 40):
        found.submit("tray", version, TRAY)
    found.submit("other", 1, TRAY)
    told = [events.get(timeout=WAIT)]
    while not {("tray", 39), ("other", 1)} <= {(event["name"], event["version"]) for event in told}:
        told.append(events.get(timeout=WAIT))
    assert len(told) < 6, "older ones are given up"


@pytest.mark.whole
def test_a_process_that_ended_is_started_again_and_told(at_work: tuple[Proving, Events]) -> None:
    found, events = at_work
    found._helper.kill()
    found.submit("tray", 50, TRAY)
    assert (trouble := events.get(timeout=WAIT))["event"] == "trouble"
    assert trouble["words"] == proving.ENDED
    assert (proof := events.get(timeout=WAIT))["event"] == "proof"
    assert proof["version"] == 50


@pytest.mark.whole
def test_a_long_proof_gives_way_to_a_newer_one(
    at_work: tuple[Proving, Events], monkeypatch: pytest.MonkeyPatch
) -> None:
    found, events = at_work
    monkeypatch.setattr(proving, "GIVEN_UP_AFTER", -1.0)
    found.submit("box", 1, preset_text("keepsake-box"))
    while found._at_work is None:
        time.sleep(0.001)
    found.submit("box", 2, TRAY)
    event = events.get(timeout=WAIT)
    assert (event["event"], event["version"]) == ("proof", 2), "no trouble is told of what was given up"


def test_a_proof_that_is_done_is_not_given_up_while_it_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever hears of a proof may have to wait for the very change that asks for the next."""
    killed, told = [], queue.Queue[dict[str, Any]]()
    is_told, may_go_on = threading.Event(), threading.Event()

    class Quick:
        def ask(self, request: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
            yield {"result": "proof", "proof": {}, "model": request["text"]}

        def kill(self) -> None:
            killed.append(self)

        close = kill

    def tell(event: dict[str, Any]) -> None:
        told.put(event)
        is_told.set()
        may_go_on.wait(WAIT)

    monkeypatch.setattr(proving, "Helper", Quick)
    monkeypatch.setattr(proving, "GIVEN_UP_AFTER", -1.0)
    found = Proving(tell)
    try:
        found.submit("box", 1, "one")
        assert is_told.wait(WAIT)
        found.submit("box", 2, "two")
        assert not killed
        may_go_on.set()
        assert [told.get(timeout=WAIT)["version"] for _ in range(2)] == [1, 2]
    finally:
        may_go_on.set()
        found.close()


def test_a_proof_without_end_is_given_up(at_work: tuple[Proving, Events], monkeypatch: pytest.MonkeyPatch) -> None:
    found, events = at_work
    monkeypatch.setattr(proving, "LONGEST", 0.001)
    found.submit("tray", 60, TRAY)
    assert events.get(timeout=WAIT)["words"] == proving.TOO_LONG
    monkeypatch.undo()
    found.submit("tray", 61, TRAY)
    assert events.get(timeout=WAIT)["event"] == "proof"


@pytest.mark.skipif(sys.platform != "linux", reason="memory is read from /proc")
@pytest.mark.whole
def test_memory_stays_flat(at_work: tuple[Proving, Events]) -> None:
    found, events = at_work

    def proved(version: int) -> float:
        found.submit("tray", version, TRAY.replace("width = 96", f"width = {96 + version % 17}"))
        assert events.get(timeout=WAIT)["event"] == "proof"
        pages = Path(f"/proc/{found._helper.process.pid}/statm").read_text("ascii").split()[1]
        return int(pages) * 4096 / 2**20

    sizes = [proved(version) for version in range(100, 150)]
    assert max(sizes[-10:]) - max(sizes[:20]) < 8.0, "MB"


def test_the_shop_stands_behind_a_proof() -> None:
    events: Events = queue.Queue()
    found = Proving(events.put, shop_of({"units": "in"}))
    text = INCHES.replace('units = "in"', "")
    try:
        found.submit("a", 1, text)
        assert events.get(timeout=WAIT)["event"] == "proof", "4 is inches"
    finally:
        found.close()
    assert found._helper.process.poll() is not None
    assert not found._thread.is_alive()
