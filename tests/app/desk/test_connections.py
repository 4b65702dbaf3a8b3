"""The bench under clients that are slow, silent, many, sly, or gone. It is asked over a socket, byte by byte."""

from __future__ import annotations

import os
import socket
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from pathlib import Path

import pytest

from solids.app.desk.serving.connections import MOST
from tests.app.desk.running import GENEROUS, Bench, bench
from tests.app.desk.stand_ins import TRAY, tray, waited

SHORT = 1.5
IMPATIENT = f"import solids.app.desk.serving.connections as c; c.LONGEST_SILENCE = {SHORT}\n"
LARGE, SIZE = "api/made/tool-tray/model.stl", 30_000_000
"""A file that was made: more than a socket holds that nobody reads from."""


@pytest.fixture(scope="module")
def patient(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    """A bench for those who only ask."""
    folder = tmp_path_factory.mktemp("recipes")
    tray(folder)
    with bench(str(folder)) as there:
        yield there


@pytest.fixture(scope="module")
def impatient(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    """One that closes early what falls silent."""
    folder = tmp_path_factory.mktemp("recipes")
    tray(folder)
    (folder / "exports" / "tool-tray").mkdir(parents=True)
    (folder / "exports" / "tool-tray" / "model.stl").write_bytes(bytes(SIZE))
    with bench(str(folder), before=IMPATIENT) as there:
        yield there


def connected(there: Bench) -> socket.socket:
    return socket.create_connection(("127.0.0.1", there.port), GENEROUS)


def head(there: Bench, path: str, *more: str, method: str = "GET", host: str = "") -> bytes:
    lines = (f"{method} {path} HTTP/1.1", f"Host: {host or f'127.0.0.1:{there.port}'}", *more, "", "")
    return "\r\n".join(lines).encode()


def rest_of(line: socket.socket) -> bytes:
    """All that comes until the other side closes."""
    found = b""
    with suppress(ConnectionError):
        while part := line.recv(1 << 20):
            found += part
    return found


def sent(there: Bench, data: bytes) -> bytes:
    """The whole answer to what is sent."""
    with connected(there) as line:
        with suppress(OSError):  # it may be refused before all is sent
            line.sendall(data)
            line.shutdown(socket.SHUT_WR)
        return rest_of(line)


def is_served(there: Bench) -> bool:
    return there.ask("api/shelf")[0] == 200


# --- silent, slow ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "said",
    [
        b"",
        b"GET / HT",
        b"GET / HTTP/1.1\r\nHost: x\r\n",
        b"POST {start}api/shelf/new HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Length: 100\r\n\r\n{{",
        b"GET {start}api/controls HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\nG",
    ],
    ids=["nothing", "half a line", "half a head", "half a body", "an answer, and half a line"],
)
def test_a_connection_that_falls_silent_is_closed(said: bytes, impatient: Bench) -> None:
    with connected(impatient) as line:
        line.sendall(said.decode().format(start=impatient.start, port=impatient.port).encode())
        begun = time.monotonic()
        rest_of(line)
        assert SHORT / 2 < time.monotonic() - begun < 10


def test_a_request_that_drips_in_is_closed_too(impatient: Bench) -> None:
    """It never falls silent for long."""
    with connected(impatient) as line:
        begun = time.monotonic()
        with suppress(ConnectionError):
            while time.monotonic() - begun < GENEROUS:
                line.sendall(b"G")
                time.sleep(0.05)
        assert SHORT / 2 < time.monotonic() - begun < 10


def test_a_reader_who_reads_nothing_is_cut_off_and_a_slow_one_gets_all(impatient: Bench) -> None:
    with socket.socket() as still, socket.socket() as slow:
        for line in (still, slow):
            line.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 16_384)
            line.settimeout(GENEROUS)
            line.connect(("127.0.0.1", impatient.port))
            line.sendall(head(impatient, impatient.start + LARGE, "Connection: close"))
        found, begun = 0, time.monotonic()
        while part := slow.recv(1 << 20):
            found += len(part)
            time.sleep(0.004 if time.monotonic() - begun < 3 * SHORT else 0)
        assert found > SIZE
        assert time.monotonic() - begun > 3 * SHORT, "it was slow at all"
        assert len(rest_of(still)) < SIZE


@pytest.mark.whole
def test_a_stream_of_news_may_stay(impatient: Bench) -> None:
    with connected(impatient) as line:
        line.sendall(head(impatient, f"{impatient.start}api/events"))
        assert b"text/event-stream" in line.recv(4096)
        time.sleep(3 * SHORT)
        assert impatient.ask("api/piece/tool-tray/set", {"changes": {"joint.tails": "5"}})[0] == 200
        while b'"event": "state"' not in line.recv(4096):
            pass


# --- many ------------------------------------------------------------------------------------------------


def busy_s(there: Bench) -> float:
    """The time of the processor that it has had (s)."""
    fields = Path(f"/proc/{there.run.pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


@pytest.mark.skipif(sys.platform != "linux", reason="what a process does is read from /proc")
@pytest.mark.whole
def test_hundreds_of_connections_neither_exhaust_nor_spin_it(tmp_path: Path) -> None:
    """Where it may open 256 files only, as on macOS."""
    tray(tmp_path)
    few = "import resource; resource.setrlimit(resource.RLIMIT_NOFILE, (256, 256))\n"
    with bench(str(tmp_path), before=few) as there, ExitStack() as lines:
        for number in range(8 * MOST):
            line = lines.enter_context(connected(there))
            with suppress(ConnectionError):
                line.sendall(b"GET /events HTTP/1.1\r\n" if number % 2 else b"")
        assert is_served(there)
        assert len(list(Path(f"/proc/{there.run.pid}/fd").iterdir())) < 2 * MOST
        busy = busy_s(there)
        time.sleep(1.0)
        assert busy_s(there) - busy < 0.5, "it spins"
        code, said = there.end(2)
        assert code == 0
        assert said.splitlines()[-1] == "Stopped. Every change is on disk."
        assert "accept" not in said, said


@pytest.mark.whole
def test_streams_without_end_do_not_lock_the_maker_out(patient: Bench) -> None:
    with ExitStack() as lines:
        for _ in range(3 * MOST):
            lines.enter_context(connected(patient)).sendall(head(patient, f"{patient.start}api/events"))
        assert is_served(patient)


@pytest.mark.whole
def test_those_who_say_nothing_give_way_before_a_page_that_listens(patient: Bench) -> None:
    with connected(patient) as page, ExitStack() as lines:
        page.sendall(head(patient, f"{patient.start}api/events"))
        assert b"text/event-stream" in page.recv(4096)
        for _ in range(3 * MOST):
            lines.enter_context(connected(patient))
        assert is_served(patient)
        page.setblocking(False)
        with suppress(BlockingIOError):
            while True:
                assert page.recv(4096), "where it were closed, there would be an end to read"


# --- sly, gone -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("method", ["POST", "GET", "PUT", "OPTIONS", "TRACE", "NOT-A-METHOD"])
@pytest.mark.parametrize("host", ["ours", "evil.example"])
@pytest.mark.parametrize("length", ["Content-Length: {}", "Transfer-Encoding: chunked", "X: {}"])
def test_the_body_of_a_request_is_never_another_request(method: str, host: str, length: str, patient: Bench) -> None:
    """As a form of a page elsewhere might send it."""
    body = head(patient, f"{patient.start}api/shelf")
    host = "" if host == "ours" else host
    start = head(patient, "/nothing", length.format(len(body)), method=method, host=host)
    answer = sent(patient, start + body)
    assert answer.count(b"HTTP/1.1 ") == 1
    assert answer.startswith((b"HTTP/1.1 403", b"HTTP/1.1 400"))
    assert b"tray" not in answer


@pytest.mark.parametrize(
    "path", ["/", "/api/shelf", "//etc/passwd", "/../etc/passwd", "*", "http://example.org/", "/%00"]
)
@pytest.mark.parametrize("method", ["GET", "HEAD", "POST", "DELETE", "CONNECT", "get"])
def test_whatever_is_asked_without_the_key_is_refused(method: str, path: str, patient: Bench) -> None:
    answer = sent(patient, head(patient, path, "Content-Length: 0", method=method))
    assert answer.startswith((b"HTTP/1.1 403", b"HTTP/1.1 400"))
    assert b"tray" not in answer
    assert b"server:" not in answer.lower(), "nothing is said of what serves it"


def test_floods_harm_nobody_and_the_next_one_is_served(patient: Bench) -> None:
    for flood in (
        os.urandom(3000) + b"\r\n\r\n",
        head(patient, "/" + "y" * 1_000_000),
        head(patient, f"{patient.start}api/shelf", *(f"X-{number}: {'y' * 90}" for number in range(10_000))),
        head(patient, f"{patient.start}api/shelf", f"X: {'y' * 1_000_000}"),
    ):
        # The library reads a head that is long but comes whole, and refuses one that it has to wait for.
        assert sent(patient, flood)[:12] in (b"HTTP/1.1 200", b"HTTP/1.1 400", b"HTTP/1.1 403", b"HTTP/1.1 431", b"")
        assert is_served(patient)


def test_a_client_that_will_say_no_more_gets_its_answer(patient: Bench) -> None:
    """A connection that is half closed: the library would let go of it."""
    for _ in range(5):
        answer = sent(patient, head(patient, f"{patient.start}api/shelf"))
        assert answer.startswith(b"HTTP/1.1 200")
        assert b"tool tray" in answer


@pytest.mark.parametrize("hard", [False, True], ids=["closed", "reset"])
def test_browsers_that_go_away_harm_nobody(hard: bool, tmp_path: Path) -> None:
    tray(tmp_path)
    with bench(str(tmp_path)) as there:
        for said in (
            head(there, f"{there.start}api/events"),
            head(there, f"{there.start}web/three.js"),
            head(there, f"{there.start}api/shelf/new", "Content-Length: 100", method="POST"),
            b"GET /ev",
            b"",
        ) * 3:
            line = connected(there)
            line.sendall(said)
            if hard:
                line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\1\0\0\0\0\0\0\0")
            line.close()
        assert is_served(there)
        changed = there.ask("api/piece/tool-tray/set", {"changes": {"joint.tails": "5"}})
        assert changed[0] == 200
        code, said_last = there.end(2)
        assert (code, len(said_last.splitlines())) == (0, 3), said_last
    assert (tmp_path / "tool-tray.toml").read_text() == TRAY.replace("tails = 4", "tails = 5")


# --- where it listens ------------------------------------------------------------------------------------


def test_it_listens_on_the_loopback_address_and_on_no_other(patient: Bench) -> None:
    """By the kernel's own table of sockets that listen: address in hexadecimal, then the port."""
    tables = [path for path in map(Path, ("/proc/net/tcp", "/proc/net/tcp6")) if path.exists()]
    if not tables:
        pytest.skip("this system has no /proc/net/tcp to read")
    rows = [line.split() for path in tables for line in path.read_text().splitlines()[1:]]
    listening = [row[1] for row in rows if row[3] == "0A" and int(row[1].rpartition(":")[2], 16) == patient.port]
    assert listening == [f"0100007F:{patient.port:04X}"]


@pytest.mark.whole
def test_a_port_is_free_again_at_once(tmp_path: Path) -> None:
    tray(tmp_path)
    with bench(str(tmp_path)) as first, connected(first) as line:
        line.sendall(head(first, f"{first.start}api/events"))
        line.recv(100)
        assert first.end(2)[0] == 0
    with pytest.raises(ConnectionRefusedError):
        connected(first)
    with bench(str(tmp_path), "--port", str(first.port)) as again:
        assert waited(lambda: is_served(again))
