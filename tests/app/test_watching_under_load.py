"""The local page under clients that are slow, silent, many or sly, and under a recipe that changes all the time."""

from __future__ import annotations

import os
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from pathlib import Path
from queue import Empty

import pytest

from solids.app import watching
from solids.app.watching import LOOPBACK, Bulletin, changes, served
from tests.app.test_watching import PATIENCE, Follower, asked, port_of, reading, sent, told

SECRET = b"<p>a secret joint</p>"


@pytest.fixture
def port() -> Iterator[int]:
    bulletin = Bulletin()
    bulletin.show(SECRET)
    with served(bulletin, 0) as address:
        yield port_of(address)


def connected(port: int) -> socket.socket:
    return socket.create_connection((LOOPBACK, port), PATIENCE)


def closed_after(line: socket.socket) -> float:
    """How long until the other side closes (s)."""
    begun = time.monotonic()
    try:
        while line.recv(65536):
            pass
    except ConnectionResetError:
        pass
    return time.monotonic() - begun


def is_open(line: socket.socket) -> bool:
    try:
        return bool(line.recv(1))
    except TimeoutError:
        return True
    except ConnectionError:
        return False


@pytest.mark.parametrize("said", [b"", b"GET / HT", b"GET / HTTP/1.1\r\nHost: x\r\n"])
def test_a_connection_that_falls_silent_is_closed(said: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(watching._Handler, "timeout", 0.3)
    with served(Bulletin(), 0) as address, connected(port_of(address)) as line:
        line.sendall(said)
        assert closed_after(line) < 5


def test_a_request_that_drips_in_is_closed_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """It never falls silent for long."""
    monkeypatch.setattr(watching, "LONGEST_REQUEST", 0.6)
    with served(Bulletin(), 0) as address, connected(port_of(address)) as line:
        line.settimeout(0.05)
        begun = time.monotonic()
        while is_open(line) and time.monotonic() - begun < 10:
            with suppress(ConnectionError):
                line.sendall(b"G")
        assert 0.5 < time.monotonic() - begun < 5


def test_a_stream_of_events_may_stay(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(watching, "LONGEST_REQUEST", 0.3)
    monkeypatch.setattr(watching._Handler, "timeout", 0.3)
    bulletin = Bulletin()
    with served(bulletin, 0) as address, reading(port_of(address)) as heard:
        assert told(heard)["version"] == 0
        time.sleep(1.0)
        bulletin.show(SECRET)
        assert told(heard)["version"] == 1


def test_hundreds_of_connections_neither_exhaust_nor_spin_it(port: int) -> None:
    """A few hundred here, so that every system takes them; the campaign opens 1,024."""
    with ExitStack() as lines:
        for _ in range(4 * watching.MOST_CONNECTIONS):
            lines.enter_context(connected(port)).sendall(b"GET /events HTTP/1.1\r\n")
        assert asked(port) == 200
        busy, begun = time.process_time(), time.monotonic()
        time.sleep(0.5)
        assert time.process_time() - busy < 0.5 * (time.monotonic() - begun)
        assert threading.active_count() < 2 * watching.MOST_CONNECTIONS


def test_streams_without_end_do_not_lock_the_maker_out(port: int) -> None:
    with ExitStack() as lines:
        for _ in range(3 * watching.MOST_CONNECTIONS):
            line = lines.enter_context(connected(port))
            line.sendall(f"GET /events HTTP/1.1\r\nHost: {LOOPBACK}:{port}\r\n\r\n".encode())
        assert asked(port) == 200


def test_where_no_connection_can_be_had_it_waits(monkeypatch: pytest.MonkeyPatch, port: int) -> None:
    """As where a system has no more: accepting fails at once, again and again."""
    tries: list[float] = []
    real = socket.socket.accept

    def none_left(line: socket.socket) -> tuple[socket.socket, object]:
        tries.append(time.monotonic())
        if len(tries) < 6:
            raise OSError(24, "Too many open files")
        return real(line)

    monkeypatch.setattr(socket.socket, "accept", none_left)
    assert asked(port) == 200
    assert tries[5] - tries[0] > 0.4


@pytest.mark.parametrize("method", ["POST", "GET", "PUT", "OPTIONS", "NOT-A-METHOD"])
@pytest.mark.parametrize("host", ["ours", "evil.example"])
@pytest.mark.parametrize("length", ["Content-Length: {}", "Transfer-Encoding: chunked", "X: {}"])
def test_the_body_of_a_request_is_never_another_request(method: str, host: str, length: str, port: int) -> None:
    body = f"GET / HTTP/1.1\r\nHost: {LOOPBACK}:{port}\r\n\r\n"
    host = f"{LOOPBACK}:{port}" if host == "ours" else host
    lines = (f"{method} /nothing HTTP/1.1", f"Host: {host}", "Connection: keep-alive", length.format(len(body)))
    answer = sent(port, *lines, "", body)
    assert answer.count(b"HTTP/1.1 ") == 1
    assert SECRET not in answer
    assert answer.startswith((b"HTTP/1.1 4", b"HTTP/1.1 5"))


def test_a_large_body_is_refused_in_words_and_not_by_a_reset(port: int) -> None:
    answer = sent(port, "POST / HTTP/1.1", f"Host: {LOOPBACK}:{port}", "Content-Length: 50000", "", "x" * 50_000)
    assert answer.startswith(b"HTTP/1.1 501")


# --- a recipe that changes all the time -----------------------------------------------------------------


@pytest.fixture
def follower(tmp_path: Path) -> Iterator[Follower]:
    path = tmp_path / "mine.toml"
    path.write_bytes(b"first")
    made = Follower(path)
    assert made.next() == b"first"
    yield made
    made.end()


def test_a_change_of_equal_size_and_time_is_seen(follower: Follower) -> None:
    before = follower.path.stat()
    follower.path.write_bytes(b"fir5t")
    os.utime(follower.path, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert follower.next() == b"fir5t"


def test_a_change_that_no_time_of_the_system_shows_is_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The clock that files are stamped with may stand still for some milliseconds: two saves, one stamp."""
    path = tmp_path / "mine.toml"
    path.write_bytes(b"one")
    stamped = os.stat(path)
    monkeypatch.setattr(watching.os, "stat", lambda _: stamped)
    heard = changes(path)
    next(heard)
    path.write_bytes(b"two")
    thread = threading.Thread(target=next, args=(heard,), daemon=True)
    thread.start()
    thread.join(PATIENCE)
    assert not thread.is_alive()


def test_a_hundred_saves_a_second_end_with_the_newest(follower: Follower) -> None:
    for number in range(100):
        follower.path.write_bytes(b"save %03d" % number)
        time.sleep(0.01)
    heard = []
    while not heard or heard[-1] != b"save 099":
        heard.append(follower.next())
    assert len(heard) < 60
    # It may be told of the newest once more, where that was written while it was read.
    for _ in range(2):
        with suppress(Empty):
            assert follower.heard.get(timeout=0.3) == b"save 099"
    assert follower.rests()


def test_a_file_that_never_rests_is_read_now_and_then(follower: Follower, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(watching, "LONGEST_CHANGING", 0.3)
    begun = time.monotonic()
    number = 0
    while follower.heard.empty() and time.monotonic() - begun < PATIENCE:
        follower.path.write_bytes(b"save %05d" % (number := number + 1))
        time.sleep(0.005)
    assert not follower.heard.empty()
