"""A hostile trial, by hundreds: bad files, kills at any moment, and probes of the local page.

    .venv/bin/python -m tests.campaign hostile 250

Each command is the script as it is installed, run in a folder full of modules and settings that break whoever loads
them. Nothing may be lost, run or left behind; each ends with 0, 1, 2, or as it was told to. With 250 bad files go
300 kills, one before each step of putting files in place, and 60 probes. What goes wrong is printed with its
seed and number, which make it again.
"""

from __future__ import annotations

import csv
import io
import json
import os
import random
import signal
import socket
import subprocess
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from solids.base.scratch import sweep
from solids.write.publishing.publish import held
from solids.write.report import sha256
from tests.bad_files import GOOD, NAMES, Dice, bad_recipe, bad_report, bad_table
from tests.base.test_safe_text import controls
from tests.test_nothing_let_in import SCRIPT, laid
from tests.write import test_killed

SLOWEST = 30.0
"""Longer than any single command may take here (s), on a machine that does other work too."""

# --- bad files -----------------------------------------------------------------------------------------


def told(folder: Path, *arguments: str | bytes) -> tuple[int, str]:
    """Exit code and words of a command, or what is wrong with how it ended."""
    begun = time.monotonic()
    process = subprocess.run(
        [str(SCRIPT), *arguments],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
        timeout=120,
    )
    said = process.stdout.decode("utf-8", "replace")
    assert process.returncode in (0, 1, 2), f"exit {process.returncode}: {said[-300:]}"
    assert "Traceback" not in said, said[-300:]
    assert not controls(said.encode()), said[-300:]
    assert time.monotonic() - begun < SLOWEST, "slow"
    return process.returncode, said


def a_bad_file(dice: Dice, folder: Path) -> str:
    """Writes one bad file and hands it to a command; what became of it."""
    kind = dice.choice(("recipe",) * 8 + ("table", "report"))
    if kind == "report":
        (folder / "out" / "tool-tray").mkdir(parents=True)
        (folder / "out" / "tool-tray" / "report.json").write_bytes(bad_report(dice))
        code, _ = told(folder, "build", "tool-tray", "--out", "out")
    elif kind == "table":
        (folder / "t.csv").write_bytes(bad_table(dice))
        code, _ = told(folder, "batch", "t.csv", "--out", "out", "--check", "--jobs", "1")
    else:
        name = b"./" + dice.choice(NAMES) + b".toml"
        path = Path(os.fsdecode(os.path.join(os.fsencode(folder), name)))
        path.write_bytes(bad_recipe(dice))
        code, _ = told(folder, dice.choice(("layout", "layout", "check", "compare")), name)
    return {0: "taken", 1: "fails", 2: "refused"}[code]


def all_in_one_run(dice: Dice, folder: Path, count: int) -> str:
    """As many bad recipes and one good in a single batch: a row for each, and the good one is done."""
    source = folder / "many"
    source.mkdir()
    for number in range(count):
        name = str(number).encode() + dice.choice(NAMES)[:180] + b".toml"
        (source / os.fsdecode(name)).write_bytes(bad_recipe(dice))
    (source / "good.toml").write_text(GOOD.replace("tool tray", "the good one"), "utf-8")
    told(folder, "batch", "many", "--out", "all", "--check", "--jobs", "2")
    text = io.StringIO((folder / "all" / "index.csv").read_bytes().decode("utf-8"), newline="")
    rows = {row["origin"]: row["verdict"] for row in csv.DictReader(text)}
    assert len(rows) == count + 1, f"{len(rows)} rows for {count + 1} files"
    assert rows["good.toml"] == "passes", rows["good.toml"]
    assert set(rows.values()) <= {"passes", "fails", "refused"}, Counter(rows.values())
    return "right"


# --- kills ---------------------------------------------------------------------------------------------

STOPS = (signal.SIGINT, signal.SIGTERM, signal.SIGINT, signal.SIGTERM, signal.SIGKILL, signal.SIGKILL)
"""Two thirds are asked to stop, by Ctrl-C or by the system; the rest are killed."""

COMMANDS = (
    "build mine.toml",
    "build mine.toml --model --gaps",
    "paper mine.toml",
    "aids mine.toml --only cauls",
    "batch joints.csv --files corner,model --jobs 2",
)
"""What is killed."""


def whole_set(folder: Path) -> bool:
    """Whether a set is there; every file of it must be the one that its report lists."""
    if not (folder / "report.json").exists():
        return False
    report = json.loads((folder / "report.json").read_bytes())
    for record in report["files"]:
        assert sha256((folder / record["name"]).read_bytes()) == record["sha256"], f"{record['name']} is of another set"
    return True


def left_in(place: Path) -> list[str]:
    return [path.name for path in place.iterdir()]


def group_is_gone(number: int) -> None:
    """Waits until every process of a group has ended: helpers hear of the end of theirs a moment later."""
    until = time.monotonic() + 60
    while time.monotonic() < until:
        try:
            os.killpg(number, 0)
        except ProcessLookupError:
            return
        time.sleep(0.01)
    raise AssertionError("a process stayed")


def a_kill(dice: Dice, folder: Path, place: Path, durations: Mapping[str, float]) -> str:
    """Stops a command at some moment; how that ended."""
    command = dice.choice(COMMANDS)
    stop, out = dice.choice(STOPS), folder / "out"
    with subprocess.Popen(
        [str(SCRIPT), *command.split(), "--set", f"joint.width={dice.randint(95, 105)}", "--out", "out"],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        env={**os.environ, "TMPDIR": str(place)},
        start_new_session=True,
    ) as process:
        with suppress(subprocess.TimeoutExpired):
            process.wait(dice.uniform(0.0, durations[command]))
        # Ctrl-C reaches all processes of a terminal; the system, and a user's kill, the one alone.
        with suppress(ProcessLookupError):
            os.killpg(process.pid, stop) if stop == signal.SIGINT else process.send_signal(stop)
        said = process.communicate(timeout=120)[0].decode("utf-8", "replace")
    group_is_gone(process.pid)
    # Before Python has heard of our handlers, the system ends it.
    expected = {0, 1, 130} if stop == signal.SIGINT else {0, 1, 128 + stop, -stop}
    # Python hears Ctrl-C before it has come to a line of ours, for some hundredths of a second.
    if "KeyboardInterrupt" in said and "solids/" not in said:
        return "stopped before it began"
    assert process.returncode in expected, f"exit {process.returncode}: {said[-900:]}"
    assert "Traceback" not in said, said[-900:]
    if stop != signal.SIGKILL:
        assert left_in(place) == [], "left in the place for moments"
        assert not list(out.rglob(".halfpin-*")), "left beside the files"
    sweep_in(place)
    recovered(out)
    ended = "ended before" if process.returncode in (0, 1) else f"stopped by {stop.name}"
    return f"{ended}, whole"


def recovered(out: Path) -> None:
    """The next run of any command takes hold of each folder, which brings an earlier one's set to its end."""
    for folder in sorted(path for path in out.iterdir() if path.is_dir()):
        with held(folder):
            whole_set(folder)
            assert not list(folder.glob(".halfpin-*")), "left after the next run"
    assert (out / "tool-tray" / "mine.txt").read_text() == "mine"
    assert whole_set(out / "tool-tray"), "the old set is lost"


def sweep_in(place: Path) -> None:
    before = os.environ.get("TMPDIR")
    os.environ["TMPDIR"] = str(place)
    try:
        sweep()
    finally:
        os.environ.pop("TMPDIR")
        if before is not None:
            os.environ["TMPDIR"] = before
    assert list(place.iterdir()) == [], "left after a sweep"


def prepared(folder: Path) -> dict[str, float]:
    """Each kill begins with sets that are whole, and a file of the maker's. How long each command takes (s)."""
    (folder / "joints.csv").write_text("title,joint.pin\n" + "".join(f"n {n},{3 + n / 10}\n" for n in range(6)))
    durations = {}
    for command in COMMANDS:
        begun = time.monotonic()
        told(folder, *command.split(), "--out", "out")
        durations[command] = time.monotonic() - begun
    (folder / "out" / "tool-tray" / "mine.txt").write_text("mine")
    return durations


# --- probes of the local page --------------------------------------------------------------------------


@contextmanager
def benched(folder: Path) -> Iterator[tuple[int, str, subprocess.Popen[str]]]:
    """`halfpin bench` at work: its port, the start of its addresses, and the process."""
    with subprocess.Popen(
        [str(SCRIPT), "bench", "mine.toml", "--no-open"],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    ) as process:
        assert process.stdout
        line = next(line for line in process.stdout if "Open http" in line)
        address = line.split()[1].partition("#")[0]
        try:
            yield int(address.split(":")[2].split("/")[0]), f"/{address.split('/', 3)[3]}", process
            process.send_signal(signal.SIGINT)
            said = process.communicate(timeout=60)[0]
        finally:
            process.kill()
        assert process.returncode in (0, 130), f"exit {process.returncode}: {said[-300:]}"
        assert "Traceback" not in said


def answer(port: int, request: bytes, patience: float = 20.0) -> bytes:
    with socket.create_connection(("127.0.0.1", port), patience) as line:
        found = b""
        with suppress(ConnectionError):
            line.sendall(request)
            line.shutdown(socket.SHUT_WR)
            while part := line.recv(1 << 20):
                found += part
    return found


def asked(port: int, path: str = "/", host: str = "", more: str = "", method: str = "GET", body: str = "") -> bytes:
    host = host or f"127.0.0.1:{port}"
    return answer(port, f"{method} {path} HTTP/1.1\r\nHost: {host}\r\n{more}\r\n{body}".encode())


PAGE = b"<title>The bench</title>"


def a_probe(dice: Dice, port: int, start: str) -> str:
    """One request that must not be answered with the page, though some know its key."""
    inner = f"GET {start} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n"
    hosts = ("evil.example", "127.0.0.1", f"127.0.0.1:{port}.evil.example", "[::1]", f"localhost:{port + 1}", "\x00")
    paths = (
        f"{start}../mine.toml",
        f"{start}web/%2e%2e/mine.toml",
        f"{start}api/made/mine/..%2fmine.toml",
        "//etc/passwd",
        start.rstrip("/"),
        "/?",
        "/",
        "http://x/",
        "/\x00",
    )
    sites = (
        "Origin: null\r\n",
        "Sec-Fetch-Site: cross-site\r\n",
        f"Host: 127.0.0.1:{port}\r\n",
        "Origin: http://x\r\n",
    )
    kinds: dict[str, Callable[[], bytes]] = {
        "noise": lambda: answer(port, dice.randbytes(dice.randint(1, 3000)) + b"\r\n\r\n"),
        "host": lambda: asked(port, start, host=dice.choice(hosts)),
        "path": lambda: asked(port, dice.choice(paths)),
        "site": lambda: asked(port, start, more=dice.choice(sites)),
        "body": lambda: asked(port, more=f"Content-Length: {len(inner)}\r\n", method="POST", body=inner),
        "chunks": lambda: asked(port, "/x", more="Transfer-Encoding: chunked\r\n", body=f"0\r\n\r\n{inner}"),
        "long": lambda: answer(port, b"GET /" + b"a" * 100_000 + b" HTTP/1.1\r\n\r\n"),
        "heads": lambda: asked(port, "/x", more="".join(f"X-{n}: y\r\n" for n in range(300))),
        "method": lambda: asked(port, start, method=dice.choice(("HEAD", "PUT", "TRACE", "CONNECT", "\x1b[2J"))),
    }
    kind = dice.choice(sorted(kinds))
    found = kinds[kind]()
    assert PAGE not in found, f"{kind}: the page was given"
    assert b"tool tray" not in found, f"{kind}: the recipe was given"
    assert found.count(b"HTTP/1.1 ") + found.count(b"HTTP/1.0 ") <= 1, f"{kind}: answered twice"
    return kind


def busy_s(process: subprocess.Popen[str]) -> float:
    fields = Path(f"/proc/{process.pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def crowd(port: int, start: str, process: subprocess.Popen[str]) -> str:
    """1,024 connections that say nothing: the page is served, and the process rests."""
    with ExitStack() as lines:
        for _ in range(1024):
            lines.enter_context(socket.create_connection(("127.0.0.1", port), 20))
        assert PAGE in asked(port, start), "the page is not served among 1,024 others"
        busy = busy_s(process)
        time.sleep(2)
        assert busy_s(process) - busy < 1.0, "it spins"
    return "rests"


def saves(folder: Path, port: int, start: str) -> str:
    """100 saves a second end with the newest shown."""
    for number in range(100):
        (folder / "mine.toml").write_text(GOOD.replace("tool tray", f"tray {number:03d}"), "utf-8")
        time.sleep(0.01)
    until = time.monotonic() + 60
    while time.monotonic() < until:
        if b"tray 099" in asked(port, f"{start}api/piece/mine"):
            return "newest"
        time.sleep(0.2)
    raise AssertionError("the newest is not shown")


# --- the whole -----------------------------------------------------------------------------------------


class Tally:
    """What came of each part, and a line for whatever went wrong."""

    def __init__(self, seed: int) -> None:
        self.seed, self.wrong = seed, 0

    def run(self, name: str, count: int, work: Callable[[Dice], str]) -> None:
        begun, came = time.monotonic(), Counter[str]()
        for number in range(count):
            try:
                came[work(random.Random(f"{self.seed} {name} {number}"))] += 1
            except Exception as err:
                self.wrong += 1
                came["wrong"] += 1
                print(f"{name} {number} of seed {self.seed}: {type(err).__name__}: {str(err)[:600]}", flush=True)
        print(f"{name} {count}: {dict(sorted(came.items()))} in {time.monotonic() - begun:.0f} s", flush=True)


def main(count: int, seed: int) -> int:
    """The whole trial; how many cases went wrong."""
    print(f"hostile: seed {seed}", flush=True)
    # Who is started in the background hears no Ctrl-C, and hands that on.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    tally = Tally(seed)
    with tempfile.TemporaryDirectory() as top:
        folder, place = Path(top) / "folder", Path(top) / "moments"
        ran = laid(folder)
        place.mkdir()

        def bad(dice: Dice) -> str:
            with tempfile.TemporaryDirectory(dir=top) as own:
                return a_bad_file(dice, Path(own))

        def step(dice: Dice) -> str:
            there, failing = cases.pop()
            with tempfile.TemporaryDirectory(dir=top) as own:
                test_killed.test_after_a_kill_at_any_moment_the_next_run_finds_one_whole_set(Path(own), there, failing)
            return "whole"

        tally.run("bad file", count, bad)
        tally.run("bad files in one run", 1, lambda dice: all_in_one_run(dice, folder, count))
        cases = [(there, failing) for there in (True, False) for failing in (None, 0, 2, 3)]
        tally.run("kills before each step of a publish", len(cases), step)
        durations = prepared(folder)
        tally.run("kill", round(count * 1.2), lambda dice: a_kill(dice, folder, place, durations))
        with benched(folder) as (port, start, process):
            tally.run("probe", round(count * 0.24), lambda dice: a_probe(dice, port, start))
            tally.run("crowd", 1, lambda _: crowd(port, start, process))
            tally.run("saves", 1, lambda _: saves(folder, port, start))
        if ran.exists():
            tally.wrong += 1
            print(f"run: {ran.read_text()}")
    print(f"hostile: {tally.wrong} wrong, seed {seed}", flush=True)
    return tally.wrong
