"""The way out, from the page and from outside: all is on disk, every page hears of it, and nothing is left running."""

from __future__ import annotations

import http.client
import json
import os
import signal
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

from tests.app.desk.running import GENEROUS, Bench, bench
from tests.app.desk.stand_ins import TRAY, tray, waited


def children(there: Bench) -> list[int]:
    """The processes that it has started (Linux)."""
    tasks = Path(f"/proc/{there.run.pid}/task").glob("*/children")
    return [int(word) for path in tasks for word in path.read_text().split()]


def is_there(number: int) -> bool:
    try:
        state = Path(f"/proc/{number}/stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return False
    return state != "Z"


def test_the_page_ends_the_bench_with_all_saved_and_told(tmp_path: Path) -> None:
    file = tray(tmp_path)
    with bench(str(tmp_path)) as there:
        news = http.client.HTTPConnection("127.0.0.1", there.port, timeout=GENEROUS)
        news.request("GET", f"{there.start}api/events")
        heard = news.getresponse()
        assert there.ask("api/piece/tool-tray/set", {"changes": {"joint.tails": "5"}, "live": True})[0] == 200
        assert there.ask("api/end", {}) == (200, b"{}")
        assert file.read_text() == TRAY.replace("tails = 4", "tails = 5"), "before the answer"
        with closing(news), heard:
            assert b'data: {"event": "ended"}' in heard.read()
        assert there.run.wait(GENEROUS) == 0
        assert there.run.stderr
        assert there.run.stderr.read().endswith("Stopped. Every change is on disk.\n")


def test_it_cannot_be_ended_by_a_question_or_without_the_key(tmp_path: Path) -> None:
    tray(tmp_path)
    with bench(str(tmp_path)) as there:
        assert there.ask("api/end")[0] == 405, "a link leads to a question"
        there.start, start = "/", there.start
        assert there.ask("api/end", {})[0] == 403
        there.start = start
        time.sleep(0.6)
        assert there.ask("api/shelf")[0] == 200


def test_where_a_change_cannot_be_saved_it_stays(tmp_path: Path) -> None:
    folder = tmp_path / "recipes"
    folder.mkdir()
    file = tray(folder)
    with bench(str(folder)) as there:
        there.ask("api/piece/tool-tray")
        file.unlink()
        file.mkdir()  # in its place, so that nothing can be written there, whoever we are
        there.ask("api/piece/tool-tray/set", {"changes": {"joint.tails": "5"}})
        code, said = there.ask("api/end", {})
        assert code == 400
        assert "stays open, as the last changes are not on disk" in json.loads(said)["trouble"]
        time.sleep(0.6)
        assert there.ask("api/shelf")[0] == 200
        file.rmdir()
        assert there.ask("api/end", {})[0] == 200
        assert there.run.wait(GENEROUS) == 0
    assert "tails = 5" in file.read_text()


@pytest.mark.skipif(sys.platform != "linux", reason="what it has started is read from /proc")
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGKILL], ids=lambda n: n.name)
def test_nothing_is_left_running_however_it_ends(number: signal.Signals, tmp_path: Path) -> None:
    """SIGHUP is what comes when the window of its terminal is closed."""
    file = tray(tmp_path)
    with bench(str(tmp_path), proves=True) as there:
        there.ask("api/piece/tool-tray/set", {"changes": {"joint.tails": "5"}})
        started = waited(lambda: children(there), GENEROUS)
        begun = time.monotonic()
        os.kill(there.run.pid, number)
        there.run.wait(GENEROUS)
        assert time.monotonic() - begun < GENEROUS / 3
        waited(lambda: not any(map(is_there, started)), GENEROUS)
    assert "tails = 5" in file.read_text()
