"""`halfpin watch` as a process of its own: proof on stdout, page on a port, edits, broken recipes, the way out.

Nothing here waits for a time: each step is waited for as an event of the page or a line of the process.
"""

from __future__ import annotations

import http.client
import json
import os
import re
import signal
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import partial
from pathlib import Path
from queue import Empty, Queue

import pytest

from solids.app.watching import WAITING, Bulletin, served
from solids.recipe import preset_text
from tests import commands
from tests.forks import Forked

GENEROUS = 60.0
"""Loading the kernel takes a second, a proof a tenth of one; a machine that does other things too takes longer (s)."""

halfpin = partial(commands.halfpin, timeout=GENEROUS)

RUN = "import signal\nsignal.signal(signal.SIGINT, signal.default_int_handler)\nfrom solids.app.cli import main\nmain()"
"""Ctrl-C is heard although whoever runs the tests may have it switched off."""

TRAY = preset_text("tool-tray")
GOES = "The joint goes together."


class Watch:
    """A process that watches, and what it says, line by line."""

    def __init__(self, recipe: Path, *arguments: str, cwd: Path | None = None) -> None:
        # Not told to be unbuffered: what is proved must be seen at once, in a pipe too.
        environment = {key: value for key, value in os.environ.items() if key != "PYTHONUNBUFFERED"}
        self.run = Forked(RUN, "watch", str(recipe), *arguments, env=environment, cwd=cwd)
        self.out, self.err = Queue[str](), Queue[str]()
        self.said: dict[str, list[str]] = {"out": [], "err": []}
        self._threads = [
            threading.Thread(target=self._read, args=(stream, queue), daemon=True)
            for stream, queue in ((self.run.stdout, self.out), (self.run.stderr, self.err))
        ]
        for thread in self._threads:
            thread.start()
        self.address = re.findall(r"http://127\.0\.0\.1:\d+/", self.line("err", "Open http"))[0]

    @staticmethod
    def _read(stream: object, queue: Queue[str]) -> None:
        for line in stream:  # type: ignore[attr-defined]
            queue.put(line.rstrip("\n"))

    def line(self, which: str, holds: str) -> str:
        """The next line of a stream that holds some words."""
        queue = {"out": self.out, "err": self.err}[which]
        end = time.monotonic() + GENEROUS
        while time.monotonic() < end:
            try:
                found = queue.get(timeout=0.1)
            except Empty:
                assert self.run.poll() is None or not queue.empty(), f"it ended before it said {holds!r}: {self.said}"
                continue
            self.said[which].append(found)
            if holds in found:
                return found
        raise AssertionError(f"{holds!r} was not said: {self.said}")

    @property
    def port(self) -> int:
        return int(self.address.rpartition(":")[2].rstrip("/"))

    def page(self) -> bytes:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=GENEROUS)
        try:
            connection.request("GET", "/")
            answer = connection.getresponse()
            assert answer.status == 200
            return answer.read()
        finally:
            connection.close()

    def end(self, number: int = signal.SIGINT) -> tuple[int, str, str]:
        """Its exit code after a signal, and everything that it said."""
        self.run.send_signal(number)
        code = self.run.wait(GENEROUS)
        for thread in self._threads:
            thread.join(GENEROUS)
        for which, queue in (("out", self.out), ("err", self.err)):
            while not queue.empty():
                self.said[which].append(queue.get())
        out, err = ("\n".join(self.said[which]) for which in ("out", "err"))
        assert "Traceback" not in out + err
        assert "fault of ours" not in out + err
        return code, out, err

    def close(self) -> None:
        if self.run.poll() is None:
            self.run.kill()
        self.run.wait(GENEROUS)
        for thread in self._threads:
            thread.join(GENEROUS)
        self.run.close()


@contextmanager
def watch(recipe: Path, *arguments: str, cwd: Path | None = None) -> Iterator[Watch]:
    made = Watch(recipe, *arguments, cwd=cwd)
    try:
        yield made
    finally:
        made.close()


class Events:
    """The stream of events of a page, as its script hears it."""

    def __init__(self, port: int) -> None:
        self._connection = http.client.HTTPConnection("127.0.0.1", port, timeout=GENEROUS)
        self._connection.request("GET", "/events")
        self._answer = self._connection.getresponse()

    def next(self) -> tuple[int, str]:
        """Version and trouble of the next event."""
        while line := self._answer.readline():
            if line.startswith(b"data: "):
                found = json.loads(line[6:])
                return found["version"], found["trouble"]
        raise EOFError

    def until(self, version: int) -> None:
        """Waits for a version without trouble."""
        while self.next() != (version, ""):
            pass

    def troubled(self) -> tuple[int, str]:
        """The next event that tells of trouble."""
        while True:
            version, trouble = self.next()
            if trouble:
                return version, trouble

    def rest(self) -> None:
        """Hears the stream to its end, which comes when the server ends."""
        with suppress(ConnectionError):
            while self._answer.readline():
                pass

    def close(self) -> None:
        self._answer.close()
        self._connection.close()


@contextmanager
def events(run: Watch) -> Iterator[Events]:
    made = Events(run.port)
    try:
        yield made
    finally:
        made.close()


@pytest.fixture
def recipe(tmp_path: Path) -> Path:
    path = tmp_path / "mine.toml"
    path.write_text(TRAY, "utf-8")
    return path


def save(recipe: Path, text: str) -> None:
    """As an editor does that never leaves half a file there."""
    beside = recipe.with_suffix(".new")
    beside.write_text(text, "utf-8")
    os.replace(beside, recipe)


def headline(page: bytes) -> str:
    found = re.search(r'id="headline">([^<]*)<', page.decode("utf-8"))
    assert found
    return found[1]


# --- what it does --------------------------------------------------------------------------------


def test_it_proves_the_recipe_serves_its_page_and_follows_each_save(recipe: Path) -> None:
    with watch(recipe) as run:
        run.line("out", GOES)
        run.line("err", ", in ")
        with events(run) as heard:
            assert heard.next() == (1, "")
            assert "4 tails" in headline(run.page())
            assert b'data-live="1"' in run.page()
            recipe.write_text(TRAY.replace("tails = 4", "tails = 5"), "utf-8")
            heard.until(2)
            assert "5 tails" in headline(run.page())
            assert b'data-live="2"' in run.page()
            save(recipe, TRAY.replace("tails = 4", "tails = 3"))
            heard.until(3)
            assert "3 tails" in headline(run.page())
        # The page comes before what is printed; a signal in between would end it there.
        for _ in range(2):
            run.line("err", ", in ")
        code, out, err = run.end()
        assert code == 0
        assert out.count(GOES) == 3
        assert len(re.findall(r"^\d\d:\d\d:\d\d, in \d+\.\d\d s$", err, re.MULTILINE)) == 3
        assert "\x1b" not in out + err, "no colour in a pipe"


def test_a_recipe_that_breaks_leaves_the_last_good_joint_and_says_why(recipe: Path) -> None:
    with watch(recipe) as run, events(run) as heard:
        heard.until(1)
        good = run.page()
        for text, says in (
            ("[joint\nwidth = 96", "is not TOML"),
            (TRAY.replace("width = 96", "width = 9"), "joint.width"),
            (TRAY.replace("tails = 4", "tails = 4\npins = 3"), "joint.pins"),
            ("", "joint: is missing"),
        ):
            save(recipe, text)
            version, trouble = heard.troubled()
            while says not in trouble:
                version, trouble = heard.troubled()
            assert version == 1
            assert trouble.endswith("Below is the last version that could be read.")
            assert run.page() == good
            run.line("err", says)
        recipe.unlink()
        assert "does not exist" in heard.troubled()[1]
        assert run.page() == good
        save(recipe, TRAY.replace("tails = 4", "tails = 6"))
        heard.until(2)
        assert "6 tails" in headline(run.page())
        run.line("err", ", in ")
        code, out, _ = run.end()
        assert code == 0
        assert out.count(GOES) == 2


def test_all_problems_of_a_recipe_come_at_once(recipe: Path) -> None:
    with watch(recipe) as run, events(run) as heard:
        heard.until(1)
        save(recipe, TRAY.replace("half_pin = 6", "half_pin = 3\ncolour = 1"))
        _, trouble = heard.troubled()
        assert trouble.startswith("Errors:\n")
        assert "joint.half_pin" in trouble
        assert "joint.colour" in trouble


def test_a_first_recipe_that_is_broken_waits_and_then_shows_the_joint(recipe: Path) -> None:
    save(recipe, "not yet")
    with watch(recipe) as run, events(run) as heard:
        version, trouble = heard.troubled()
        assert version == 0
        assert "is not TOML" in trouble
        assert run.page() == WAITING
        save(recipe, TRAY)
        heard.until(1)
        assert "4 tails" in headline(run.page())
        assert run.end()[0] == 0


def test_before_the_first_joint_nothing_is_said_of_a_joint_below(recipe: Path) -> None:
    save(recipe, "not yet")
    with watch(recipe) as run, events(run) as heard:
        assert "below" not in heard.troubled()[1]


def test_a_joint_that_fails_its_proof_is_shown_and_said_to_fail(recipe: Path) -> None:
    with watch(recipe, "--set", "fit.flank_gap=-0.06") as run, events(run) as heard:
        heard.until(1)
        run.line("out", "The joint fails its proof.")
        assert b"This joint fails its proof. Do not cut it." in run.page()
        assert run.end()[0] == 0, "to watch is no failure"


def test_what_is_set_beside_the_recipe_holds_for_every_save(recipe: Path) -> None:
    with watch(recipe, "--set", "joint.tails=6") as run, events(run) as heard:
        heard.until(1)
        assert "6 tails" in headline(run.page())
        save(recipe, TRAY.replace("width = 96", "width = 120"))
        heard.until(2)
        assert "6 tails" in headline(run.page())
        assert "120 mm" in headline(run.page())


def test_it_writes_nothing_beside_the_recipe(recipe: Path) -> None:
    with watch(recipe, cwd=recipe.parent) as run, events(run) as heard:
        heard.until(1)
        save(recipe, TRAY.replace("tails = 4", "tails = 5"))
        heard.until(2)
        run.end()
    assert [path.name for path in recipe.parent.iterdir()] == ["mine.toml"]


def test_a_port_may_be_chosen(recipe: Path) -> None:
    with served(Bulletin(), 0) as address:
        chosen = int(address.rstrip("/").rpartition(":")[2])
    with watch(recipe, "--port", str(chosen)) as run, events(run) as heard:
        assert run.port == chosen
        heard.until(1)


# --- how it ends ---------------------------------------------------------------------------------


@pytest.mark.parametrize(("number", "code"), [(signal.SIGINT, 0), (signal.SIGTERM, 143), (signal.SIGHUP, 129)])
@pytest.mark.parametrize("when", ["at once", "after the first joint", "in trouble"])
def test_it_ends_when_it_is_told_to(recipe: Path, number: int, code: int, when: str) -> None:
    if when == "in trouble":
        save(recipe, "broken")
    with watch(recipe) as run, events(run) as heard:
        if when == "after the first joint":
            heard.until(1)
        elif when == "in trouble":
            heard.troubled()
        begun = time.monotonic()
        found, _, err = run.end(number)
        assert found == code
        assert time.monotonic() - begun < GENEROUS / 3, "open streams of events do not keep it"
        assert "Stopped" not in err
        heard.rest()


@pytest.mark.parametrize("what", ["tool-tray", "nowhere.toml", "."])
def test_what_is_no_file_is_bad_input_with_a_word_about_how_to_begin(what: str, tmp_path: Path) -> None:
    done = halfpin("watch", what, cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(f"Error: {what!r} is not a file.")
    assert "halfpin new" in done.stderr
    assert done.stderr.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_a_port_that_is_taken_is_bad_input(recipe: Path) -> None:
    with served(Bulletin(), 0) as address:
        number = address.rstrip("/").rpartition(":")[2]
        done = halfpin("watch", str(recipe), "--port", number, cwd=recipe.parent)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(f"Error: --port {number} cannot be used")
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize("number", ["-1", "65536", "http"])
def test_a_port_that_is_none_is_bad_input(recipe: Path, number: str) -> None:
    done = halfpin("watch", str(recipe), "--port", number, cwd=recipe.parent)
    assert (done.returncode, done.stdout) == (2, "")
    assert "--port" in done.stderr


def test_a_reader_of_the_proof_that_goes_away_ends_it_without_a_traceback(recipe: Path) -> None:
    """As `halfpin watch mine.toml | head` does."""
    run = Forked(RUN, "watch", str(recipe))
    assert run.stdout is not None
    while GOES not in run.stdout.readline():
        pass
    run.stdout.close()
    end = time.monotonic() + GENEROUS
    while run.poll() is None and time.monotonic() < end:
        os.utime(recipe)
        time.sleep(0.2)
    assert run.stderr is not None
    said = run.stderr.read()
    assert run.wait(1) == 2
    run.close()
    assert "Traceback" not in said
