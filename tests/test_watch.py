"""`halfpin watch`: changes of a file, and a server for this machine's browser alone."""

from __future__ import annotations

import http.client
import json
import os
import re
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from queue import Empty, Queue

import pytest

from solids.errors import InputError
from solids.recipe import preset_text
from solids.watching import WAITING, Bulletin, changes, served


def port_of(address: str) -> int:
    return int(re.findall(r":(\d+)/", address)[0])


def ask(port: int, path: str = "/", method: str = "GET", **headers: str) -> tuple[int, bytes, dict[str, str]]:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    connection.request(method, path, headers={key.replace("_", "-"): value for key, value in headers.items()})
    answer = connection.getresponse()
    found = answer.status, answer.read(), dict(answer.getheaders())
    connection.close()
    return found


@contextmanager
def listening(port: int) -> Iterator[Queue[dict[str, object]]]:
    """The stream of events, as a browser hears it."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
    connection.request("GET", "/events")
    answer = connection.getresponse()
    heard: Queue[dict[str, object]] = Queue()

    def read() -> None:
        with suppress(OSError, ValueError):
            while line := answer.readline():
                if line.startswith(b"data: "):
                    heard.put(json.loads(line[6:]))
        heard.put({"end": True})

    thread = threading.Thread(target=read)
    thread.start()
    try:
        yield heard
    finally:
        thread.join(10)
        answer.close()
        connection.close()


# --- the server ----------------------------------------------------------------------------------


def test_it_serves_the_waiting_page_and_then_the_last_joint() -> None:
    bulletin = Bulletin()
    with served(bulletin, 0) as address:
        port = port_of(address)
        assert ask(port)[1] == WAITING
        bulletin.show(b"<p>one</p>")
        status, body, headers = ask(port)
        assert (status, body) == (200, b"<p>one</p>")
        assert headers["X-Frame-Options"] == "DENY"
        assert headers["Cache-Control"] == "no-store"
        bulletin.tell("bad")
        assert ask(port)[1] == b"<p>one</p>"


@pytest.mark.parametrize(
    "headers",
    [
        {"Host": "evil.example:80"},
        {"Host": "127.0.0.1"},
        {"Host": "evil.example"},
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Sec_Fetch_Site": "cross-site"},
        {"Sec_Fetch_Site": "same-site"},
    ],
)
@pytest.mark.parametrize("path", ["/", "/events"])
def test_what_comes_from_elsewhere_is_refused(path: str, headers: dict[str, str]) -> None:
    bulletin = Bulletin()
    bulletin.show(b"secret")
    with served(bulletin, 0) as address:
        status, body, _ = ask(port_of(address), path, **headers)
        assert status == 403
        assert b"secret" not in body


def test_our_own_names_are_accepted() -> None:
    with served(Bulletin(), 0) as address:
        port = port_of(address)
        for name in ("127.0.0.1", "localhost"):
            assert (
                ask(port, Host=f"{name}:{port}", Origin=f"http://{name}:{port}", Sec_Fetch_Site="same-origin")[0] == 200
            )


def test_two_hosts_in_one_request_are_refused() -> None:
    with served(Bulletin(), 0) as address, socket.create_connection(("127.0.0.1", port_of(address)), 10) as line:
        line.sendall(f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{port_of(address)}\r\nHost: evil\r\n\r\n".encode())
        assert line.recv(100).startswith(b"HTTP/1.1 403")


def test_other_paths_and_methods_give_nothing() -> None:
    with served(Bulletin(), 0) as address:
        port = port_of(address)
        assert ask(port, "/../etc/passwd")[0] == 404
        assert ask(port, "/corner.step")[0] == 404
        for method in ("POST", "PUT", "DELETE", "OPTIONS"):
            assert ask(port, method=method)[0] == 501


def test_it_listens_on_loopback_alone() -> None:
    with served(Bulletin(), 0) as address:
        assert address.startswith("http://127.0.0.1:")
        other = socket.gethostbyname(socket.gethostname())
        if other.startswith("127."):
            return
        with pytest.raises(OSError, match=r"refused|unreachable"):
            socket.create_connection((other, port_of(address)), 2)


def test_a_port_that_is_taken_is_bad_input() -> None:
    with (
        served(Bulletin(), 0) as address,
        pytest.raises(InputError, match="cannot be used"),
        served(Bulletin(), port_of(address)),
    ):
        pass


def test_every_reader_hears_the_state_and_then_each_change_and_the_end() -> None:
    bulletin = Bulletin()
    with (
        served(bulletin, 0) as address,
        listening(port_of(address)) as first,
        listening(port_of(address)) as second,
    ):
        for heard in (first, second):
            assert heard.get(timeout=10) == {"version": 0, "trouble": ""}
        bulletin.tell("no width")
        for heard in (first, second):
            assert heard.get(timeout=10) == {"version": 0, "trouble": "no width"}
        assert bulletin.next_version == 1
        bulletin.show(b"page")
        for heard in (first, second):
            assert heard.get(timeout=10) == {"version": 1, "trouble": ""}
        bulletin.close()
        for heard in (first, second):
            assert heard.get(timeout=10) == {"end": True}


def test_a_reader_that_goes_away_harms_nothing() -> None:
    bulletin = Bulletin()
    with served(bulletin, 0) as address:
        port = port_of(address)
        with socket.create_connection(("127.0.0.1", port), 10) as line:
            line.sendall(f"GET /events HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n".encode())
            assert line.recv(50)
        for number in range(5):
            bulletin.show(b"%d" % number)
        assert ask(port)[1] == b"4"


# --- the file ------------------------------------------------------------------------------------


@pytest.fixture
def heard(tmp_path: Path) -> Iterator[tuple[Path, Queue[int]]]:
    path, found, stop = tmp_path / "mine.toml", Queue[int](), threading.Event()
    path.write_text("a = 1\n")

    def follow() -> None:
        for number, _ in enumerate(changes(path)):
            if stop.is_set():
                return
            found.put(number)

    thread = threading.Thread(target=follow, daemon=True)
    thread.start()
    assert found.get(timeout=10) == 0, "once at the start"
    yield path, found
    stop.set()
    path.write_text("end\n" * 9)
    thread.join(10)


def test_a_save_is_heard_once_also_where_the_file_is_replaced_or_comes_back(heard: tuple[Path, Queue[int]]) -> None:
    path, found = heard
    path.write_text("a = 22\n")
    assert found.get(timeout=10) == 1
    beside = path.with_suffix(".new")
    beside.write_text("a = 333\n")
    beside.replace(path)
    assert found.get(timeout=10) == 2
    path.unlink()
    assert found.get(timeout=10) == 3
    path.write_text("a = 4444\n")
    assert found.get(timeout=10) == 4
    with pytest.raises(Empty):
        found.get(timeout=0.3)


# --- the command ---------------------------------------------------------------------------------


@contextmanager
def watching(recipe: Path) -> Iterator[tuple[subprocess.Popen[str], int]]:
    script = (
        "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\nfrom solids.cli import main; main()"
    )
    with subprocess.Popen(
        [sys.executable, "-c", script, "watch", str(recipe)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    ) as run:
        assert run.stderr is not None
        yield run, port_of(run.stderr.readline())
        if run.poll() is None:
            run.kill()


@pytest.mark.parametrize(("sent", "code"), [(signal.SIGINT, 0), (signal.SIGTERM, 143)])
def test_it_proves_each_save_says_what_is_wrong_and_ends_when_told(tmp_path: Path, sent: int, code: int) -> None:
    recipe = tmp_path / "mine.toml"
    recipe.write_text("nothing", "utf-8")
    with watching(recipe) as (run, port):
        with listening(port) as heard:
            news = heard.get(timeout=60)
            while not news["trouble"]:
                news = heard.get(timeout=60)
            assert "is not TOML" in str(news["trouble"])
            assert ask(port)[1] == WAITING
            recipe.write_text(preset_text("tool-tray"), "utf-8")
            assert heard.get(timeout=60) == {"version": 1, "trouble": ""}
            assert b"4 tails" in ask(port)[1]
            recipe.write_text(preset_text("tool-tray").replace("width = 96", "width = 9"), "utf-8")
            assert "joint.width" in str(heard.get(timeout=60)["trouble"])
            assert b"4 tails" in ask(port)[1]
            run.send_signal(sent)
        said, told = run.communicate(timeout=30)
    assert run.returncode == code
    assert "The joint goes together." in said
    assert "Traceback" not in told


@pytest.mark.parametrize("recipe", ["tool-tray", "nowhere.toml"])
def test_what_is_no_file_cannot_be_watched(recipe: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", "from solids.cli import main; main()", "watch", recipe],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert "is no file to watch" in done.stderr
