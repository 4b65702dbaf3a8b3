"""A recipe that is worked on, and the page that follows: what a browser on this machine may ask for, what nobody else
may, and which changes of a file are heard. The server is asked over a socket, byte by byte where it matters."""

from __future__ import annotations

import http.client
import json
import os
import re
import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from html.parser import HTMLParser
from pathlib import Path
from queue import Empty, Queue

import pytest

from solids.app import watching
from solids.app.watching import HEADERS, LOOPBACK, WAITING, Bulletin, changes, served
from solids.base.errors import InputError

PATIENCE = 10.0
"""As long as a test waits for what should come at once (s): much longer than a busy machine needs."""


def port_of(address: str) -> int:
    found = re.fullmatch(rf"http://{re.escape(LOOPBACK)}:(\d+)/", address)
    assert found
    return int(found[1])


def sent(port: int, *lines: str) -> bytes:
    """The whole answer to a request that is sent line by line; the connection is closed by the server or by us."""
    with socket.create_connection((LOOPBACK, port), PATIENCE) as line:
        line.sendall("".join(f"{text}\r\n" for text in (*lines, "")).encode("latin-1"))
        line.shutdown(socket.SHUT_WR)
        found = b""
        while part := line.recv(65536):
            found += part
    return found


def status(answer: bytes) -> int:
    assert answer.startswith((b"HTTP/1.1 ", b"HTTP/1.0 ")), answer[:80]
    return int(answer[9:12])


def asked(port: int, *headers: str, path: str = "/", method: str = "GET", host: str | None = None) -> int:
    return status(sent(port, f"{method} {path} HTTP/1.1", f"Host: {host or f'{LOOPBACK}:{port}'}", *headers))


@pytest.fixture
def bulletin() -> Bulletin:
    made = Bulletin()
    made.show(b"<p>a secret joint</p>")
    return made


@pytest.fixture
def port(bulletin: Bulletin) -> Iterator[int]:
    with served(bulletin, 0) as address:
        yield port_of(address)


@pytest.fixture(scope="module")
def desk() -> Iterator[int]:
    """The port of a server for those who only ask; what is shown there does not change."""
    made = Bulletin()
    made.show(b"<p>a secret joint</p>")
    with served(made, 0) as address:
        yield port_of(address)


# --- who may ask ---------------------------------------------------------------------------------


def test_the_browser_on_this_machine_gets_the_page(desk: int) -> None:
    for name in (LOOPBACK, "localhost"):
        own = f"{name}:{desk}"
        assert asked(desk, host=own) == 200
        assert asked(desk, f"Origin: http://{own}", "Sec-Fetch-Site: same-origin", host=own) == 200
        assert asked(desk, "Sec-Fetch-Site: none", host=own) == 200


ELSEWHERE = (
    *(f"Host: {host}" for host in ("example.org", "example.org:{port}", LOOPBACK, "localhost", "")),
    *(f"Host: {host}" for host in (f"{LOOPBACK}:1", f"{LOOPBACK}.example.org:{{port}}", "0.0.0.0:{port}")),
    *(f"Host: {host}" for host in ("[::1]:{port}", f"{LOOPBACK}:{{port}}@example.org", f"{LOOPBACK}:{{port}}, x")),
)


@pytest.mark.parametrize("path", ["/", "/events", "/nothing"])
@pytest.mark.parametrize("host", ELSEWHERE)
def test_a_request_under_another_name_is_refused(desk: int, host: str, path: str) -> None:
    """So that a page elsewhere cannot have its own name lead here."""
    answer = sent(desk, f"GET {path} HTTP/1.1", host.format(port=desk))
    assert status(answer) == 403
    assert b"secret" not in answer


@pytest.mark.parametrize("path", ["/", "/events"])
def test_a_request_without_a_name_or_with_two_is_refused(desk: int, path: str) -> None:
    own = f"Host: {LOOPBACK}:{desk}"
    assert status(sent(desk, f"GET {path} HTTP/1.1")) == 403
    assert status(sent(desk, f"GET {path} HTTP/1.0")) == 403
    assert status(sent(desk, f"GET {path} HTTP/1.1", own, "Host: example.org")) == 403
    assert status(sent(desk, f"GET {path} HTTP/1.1", "Host: example.org", own)) == 403
    assert status(sent(desk, f"GET {path} HTTP/1.1", own, own)) == 403


@pytest.mark.parametrize(
    "header",
    [
        "Origin: http://example.org",
        "Origin: https://127.0.0.1:{port}",
        "Origin: http://127.0.0.1",
        "Origin: http://127.0.0.1:1",
        "Origin: null",
        "Origin: file://",
        "Origin: ",
        "Sec-Fetch-Site: cross-site",
        "Sec-Fetch-Site: same-site",
        "Sec-Fetch-Site: same-origin, cross-site",
    ],
)
@pytest.mark.parametrize("path", ["/", "/events"])
def test_a_request_for_another_sites_page_is_refused(desk: int, header: str, path: str) -> None:
    answer = sent(desk, f"GET {path} HTTP/1.1", f"Host: {LOOPBACK}:{desk}", header.format(port=desk))
    assert status(answer) == 403
    assert b"secret" not in answer


@pytest.mark.parametrize(
    ("good", "bad"),
    [
        ("Origin: http://127.0.0.1:{port}", "Origin: http://example.org"),
        ("Sec-Fetch-Site: same-origin", "Sec-Fetch-Site: cross-site"),
    ],
)
def test_a_second_header_does_not_hide_behind_a_good_one(desk: int, good: str, bad: str) -> None:
    assert asked(desk, good.format(port=desk), bad) == 403


@pytest.mark.parametrize("path", ["/index.html", "/../etc/passwd", "/events/", "/events?x", "/?live", "*", "x"])
def test_there_is_nothing_else(desk: int, path: str) -> None:
    assert asked(desk, path=path) in (400, 404)
    assert b"secret" not in sent(desk, f"GET {path} HTTP/1.1", f"Host: {LOOPBACK}:{desk}")


def test_a_proxy_is_not_what_it_is(desk: int) -> None:
    assert asked(desk, path="http://example.org/") == 404
    assert asked(desk, path="example.org:443", method="CONNECT") == 501


@pytest.mark.parametrize("method", ["HEAD", "POST", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "get"])
@pytest.mark.parametrize("path", ["/", "/events"])
def test_nothing_but_get_is_answered(desk: int, method: str, path: str) -> None:
    answer = sent(desk, f"{method} {path} HTTP/1.1", f"Host: {LOOPBACK}:{desk}", "Content-Length: 0")
    assert status(answer) == 501
    assert b"secret" not in answer


def test_noise_is_refused_and_the_next_one_is_served(desk: int) -> None:
    with socket.create_connection((LOOPBACK, desk), PATIENCE) as line:
        line.sendall(b"\x16\x03\x01\x02\x00 not a request\r\n\r\n")
        line.recv(1000)
    assert status(sent(desk, "GET / HTTP/1.1", f"Host: {LOOPBACK}:{desk}", f"X: {'y' * 70_000}")) == 431
    assert status(sent(desk, f"GET /{'y' * 70_000} HTTP/1.1")) == 414
    assert asked(desk) == 200


@pytest.mark.parametrize(("path", "code"), [("/", 200), ("/nothing", 404)])
def test_each_answer_says_how_it_may_be_used(desk: int, path: str, code: int) -> None:
    connection = http.client.HTTPConnection(LOOPBACK, desk, timeout=PATIENCE)
    for _ in range(3):
        connection.request("GET", path)
        answer = connection.getresponse()
        body, found = answer.read(), dict(answer.getheaders())
        assert answer.status == code
        assert HEADERS.items() <= found.items()
        assert "Access-Control-Allow-Origin" not in found
        assert int(found["Content-Length"]) == len(body)
        assert found["Server"].strip() == "halfpin", "no more is said of what serves it"
    connection.close()
    assert HEADERS["Cache-Control"] == "no-store"
    assert HEADERS["X-Frame-Options"] == "DENY"


# --- where it listens ----------------------------------------------------------------------------


def test_it_listens_on_the_loopback_address_and_on_no_other(port: int) -> None:
    """By the kernel's own table of sockets that listen, where there is one: address in hexadecimal, then the port."""
    tables = [path for path in map(Path, ("/proc/net/tcp", "/proc/net/tcp6")) if path.exists()]
    if not tables:
        pytest.skip("this system has no /proc/net/tcp to read")
    rows = [line.split() for path in tables for line in path.read_text().splitlines()[1:]]
    listening = [row[1] for row in rows if row[3] == "0A" and int(row[1].rpartition(":")[2], 16) == port]
    assert listening == [f"0100007F:{port:04X}"]


def test_a_port_may_be_chosen_and_is_free_again_afterwards() -> None:
    with served(Bulletin(), 0) as address:
        chosen = port_of(address)
    for _ in range(2):
        with served(Bulletin(), chosen) as address:
            assert port_of(address) == chosen
            assert asked(chosen) == 200
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection((LOOPBACK, chosen), PATIENCE)


def test_a_port_that_is_taken_is_bad_input_and_what_has_it_goes_on(port: int) -> None:
    with pytest.raises(InputError, match=rf"--port {port} cannot be used"), served(Bulletin(), port):
        pass
    assert asked(port) == 200


@pytest.mark.parametrize("number", [-1, 65536, 10**9])
def test_a_port_that_is_none_is_bad_input(number: int) -> None:
    with pytest.raises(InputError, match=f"--port {number} cannot be used"), served(Bulletin(), number):
        pass


# --- events --------------------------------------------------------------------------------------


@contextmanager
def reading(port: int) -> Iterator[Queue[str]]:
    """The events of a stream as they come, "end" last."""
    connection = http.client.HTTPConnection(LOOPBACK, port, timeout=PATIENCE)
    connection.request("GET", "/events")
    line = connection.sock  # the connection itself lets go of it when the answer begins
    answer = connection.getresponse()
    assert answer.status == 200
    assert answer.getheader("Content-Type") == "text/event-stream"
    assert HEADERS.items() <= dict(answer.getheaders()).items()
    heard: Queue[str] = Queue()

    def read() -> None:
        event = ""
        try:
            while text := answer.readline().decode("utf-8"):
                event += text
                if text == "\n":
                    heard.put(event)
                    event = ""
        except (OSError, ValueError):
            pass
        heard.put("end")

    thread = threading.Thread(target=read)
    thread.start()
    try:
        yield heard
    finally:
        with suppress(OSError):
            line.shutdown(socket.SHUT_RDWR)
        thread.join(PATIENCE)
        answer.close()
        connection.close()
        assert not thread.is_alive()


def told(heard: Queue[str]) -> dict[str, object]:
    """The next event, as a browser parses it: one line of data, and an empty one."""
    event = heard.get(timeout=PATIENCE)
    head, body, empty, rest = (*event.partition("\n"), "")
    assert head.startswith("data: ")
    assert (body, empty, rest) == ("\n", "\n", "")
    found = json.loads(head.removeprefix("data: "))
    assert isinstance(found, dict)
    return found


def test_a_stream_begins_with_how_things_are_and_then_tells_each_change(bulletin: Bulletin, port: int) -> None:
    with reading(port) as heard:
        assert told(heard) == {"version": 1, "trouble": ""}
        bulletin.tell("no width")
        assert told(heard) == {"version": 1, "trouble": "no width"}
        bulletin.show(b"<p>2</p>")
        assert told(heard) == {"version": 2, "trouble": ""}
        with reading(port) as late:
            assert told(late) == {"version": 2, "trouble": ""}
            bulletin.tell("again")
            assert [told(each)["trouble"] for each in (heard, late)] == ["again", "again"]


def test_many_readers_hear_the_same(bulletin: Bulletin, port: int) -> None:
    with reading(port) as a, reading(port) as b, reading(port) as c, reading(port) as d:
        for heard in (a, b, c, d):
            told(heard)
        for version in range(2, 6):
            bulletin.show(b"x")
            assert [told(heard)["version"] for heard in (a, b, c, d)] == [version] * 4
        assert asked(port) == 200, "and the page can be had meanwhile"


def test_a_reader_that_was_busy_hears_the_last_state(bulletin: Bulletin) -> None:
    news = bulletin.news()
    next(news)
    for _ in range(50):
        bulletin.show(b"x")
    bulletin.tell("last")
    assert json.loads(next(news)[6:]) == {"version": 51, "trouble": "last"}
    bulletin.close()
    assert list(news) == []


@pytest.mark.parametrize("trouble", ["two\nlines", "\r\ndata: {}\n\n", "Öl, 木, \u2028 \u2029", "</script>", '"\\'])
def test_whatever_the_trouble_is_called_it_is_one_event(trouble: str, bulletin: Bulletin, port: int) -> None:
    with reading(port) as heard:
        told(heard)
        bulletin.tell(trouble)
        assert told(heard)["trouble"] == trouble
        bulletin.show(b"x")
        assert told(heard) == {"version": 2, "trouble": ""}


def test_an_idle_stream_says_now_and_then_that_it_is_still_there(
    monkeypatch: pytest.MonkeyPatch, bulletin: Bulletin, port: int
) -> None:
    """Lines that begin with a colon are comments (HTML Living Standard, 9.2.6)."""
    monkeypatch.setattr(watching, "KEEP_ALIVE", 0.05)
    with reading(port) as heard:
        told(heard)
        assert [heard.get(timeout=PATIENCE) for _ in range(2)] == [": still here\n\n"] * 2
        bulletin.tell("now")
        event = heard.get(timeout=PATIENCE)
        while event.startswith(":"):
            event = heard.get(timeout=PATIENCE)
        assert '"now"' in event


def test_closing_ends_every_stream_at_once(bulletin: Bulletin, port: int) -> None:
    with reading(port) as first, reading(port) as second:
        told(first)
        told(second)
        begun = time.monotonic()
        bulletin.close()
        assert [heard.get(timeout=PATIENCE) for heard in (first, second)] == ["end", "end"]
        assert time.monotonic() - begun < watching.KEEP_ALIVE / 3
    assert list(bulletin.news()) == [], "and a new one does not begin"


def test_leaving_the_block_ends_streams_and_server_and_leaves_no_thread() -> None:
    before = set(threading.enumerate())
    bulletin = Bulletin()
    begun = time.monotonic()
    with served(bulletin, 0) as address:
        lines = [socket.create_connection((LOOPBACK, port_of(address)), PATIENCE) for _ in range(3)]
        for line in lines:
            line.sendall(f"GET /events HTTP/1.1\r\nHost: {LOOPBACK}:{port_of(address)}\r\n\r\n".encode())
            assert line.recv(15) == b"HTTP/1.1 200 OK"
    for line in lines:
        while line.recv(4096):
            pass
        line.close()
    while set(threading.enumerate()) - before and time.monotonic() - begun < PATIENCE:
        time.sleep(0.01)
    assert set(threading.enumerate()) - before == set()
    assert time.monotonic() - begun < watching.KEEP_ALIVE / 2


def test_an_error_within_the_block_ends_the_server_too() -> None:
    ports: list[int] = []

    def fail() -> None:
        with served(Bulletin(), 0) as address:
            ports.append(port_of(address))
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail()
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection((LOOPBACK, ports[0]), PATIENCE)


def gone(port: int, request: bytes, *, hard: bool) -> None:
    """Asks, and goes away without reading; `hard` by a reset."""
    line = socket.create_connection((LOOPBACK, port), PATIENCE)
    line.sendall(request)
    if hard:
        line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\1\0\0\0\0\0\0\0")
    line.close()


@pytest.mark.parametrize("hard", [False, True])
def test_browsers_that_go_away_harm_nobody(
    hard: bool, bulletin: Bulletin, port: int, capfd: pytest.CaptureFixture[str]
) -> None:
    host = f"Host: {LOOPBACK}:{port}\r\n\r\n"
    with reading(port) as heard:
        told(heard)
        for _ in range(3):
            gone(port, f"GET /events HTTP/1.1\r\n{host}".encode(), hard=hard)
            gone(port, f"GET / HTTP/1.1\r\n{host}".encode(), hard=hard)
            gone(port, b"GET /ev", hard=hard)
            gone(port, b"", hard=hard)
        for version in range(2, 8):
            bulletin.show(b"x" * 3_000_000)
            assert told(heard)["version"] == version
    assert asked(port) == 200
    assert capfd.readouterr() == ("", ""), "the terminal is for the proof"


def test_a_client_that_says_nothing_keeps_nobody_waiting(port: int) -> None:
    with socket.create_connection((LOOPBACK, port), PATIENCE), socket.create_connection((LOOPBACK, port), PATIENCE):
        assert asked(port) == 200


# --- before the first joint ----------------------------------------------------------------------


def test_before_the_first_joint_a_page_waits_and_asks_for_nothing_from_elsewhere() -> None:
    bulletin = Bulletin()
    assert bulletin.page == WAITING
    assert bulletin.next_version == 1
    text = WAITING.decode("utf-8")
    assert not re.search(r"https?:|//|@import|url\(", text)
    assert 'lang="en"' in text
    found: list[str] = []

    class Reader(HTMLParser):
        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            found.append(tag)
            assert "src" not in dict(attrs)

    Reader().feed(text)
    assert {"title", "h1", "main", "pre", "script"} <= set(found)


def test_a_good_joint_clears_the_trouble_and_a_bad_recipe_keeps_the_joint() -> None:
    bulletin = Bulletin()
    bulletin.tell("broken")
    assert bulletin.page == WAITING
    assert bulletin.next_version == 1
    bulletin.show(b"one")
    bulletin.tell("broken again")
    assert (bulletin.page, bulletin.next_version) == (b"one", 2)
    bulletin.show(b"two")
    assert json.loads(next(bulletin.news())[6:]) == {"version": 2, "trouble": ""}


# --- changes of a file ---------------------------------------------------------------------------


class Follower:
    """Hears the changes of a file in a thread, and reads the file at each as the command would."""

    def __init__(self, path: Path) -> None:
        self.path, self.heard, self._over = path, Queue[bytes | None](), False
        self._thread = threading.Thread(target=self._follow, daemon=True)
        self._thread.start()

    def _follow(self) -> None:
        for _ in changes(self.path):
            if self._over:
                return
            try:
                self.heard.put(self.path.read_bytes())
            except OSError:
                self.heard.put(None)

    def next(self) -> bytes | None:
        return self.heard.get(timeout=PATIENCE)

    def reaches(self, data: bytes) -> int:
        """How many changes are heard until this is what is read."""
        for count in range(1, 20):
            if self.next() == data:
                return count
        raise AssertionError(data)

    def rests(self) -> bool:
        """Whether nothing is heard for a while."""
        with pytest.raises(Empty):
            self.heard.get(timeout=0.25)
        return True

    def end(self) -> None:
        self._over = True
        self.path.unlink(missing_ok=True)
        self.path.write_bytes(b"the end of it, and longer than all before" * 10)
        self._thread.join(PATIENCE)
        assert not self._thread.is_alive()


@pytest.fixture
def recipe(tmp_path: Path) -> Path:
    path = tmp_path / "mine.toml"
    path.write_bytes(b"first")
    return path


@pytest.fixture
def follower(recipe: Path) -> Iterator[Follower]:
    made = Follower(recipe)
    assert made.next() == b"first", "once at the start"
    yield made
    made.end()


def in_place(path: Path, data: bytes) -> None:
    path.write_bytes(data)


def renamed_over(path: Path, data: bytes) -> None:
    beside = path.with_name(".mine.toml.swp")
    beside.write_bytes(data)
    os.replace(beside, path)


def backed_up(path: Path, data: bytes) -> None:
    """The old one is moved aside, a new one is written, as some editors do."""
    path.rename(path.with_name("mine.toml~"))
    path.write_bytes(data)


def gone_and_back(path: Path, data: bytes) -> None:
    path.unlink()
    time.sleep(0.005)
    path.write_bytes(data)


@pytest.mark.parametrize("save", [in_place, renamed_over, backed_up, gone_and_back], ids=lambda save: save.__name__)
def test_each_way_to_save_is_heard_with_what_was_saved(follower: Follower, save: Callable[[Path, bytes], None]) -> None:
    for data in (b"second", b"third one", b"4"):
        save(follower.path, data)
        # Once; on a busy machine a file that is empty, or not there, may rest long enough to be heard of too.
        assert follower.reaches(data) <= 2
    assert follower.rests()


def test_a_file_of_the_same_length_is_another_state(follower: Follower) -> None:
    follower.path.write_bytes(b"fir5t")
    assert follower.next() == b"fir5t"


def test_nothing_is_heard_where_nothing_happens_or_another_file_changes(follower: Follower) -> None:
    follower.path.with_name("another.toml").write_bytes(b"x")
    follower.path.read_bytes()
    assert follower.rests()


def test_a_touch_may_be_heard_and_does_no_harm(follower: Follower) -> None:
    os.utime(follower.path)
    time.sleep(0.2)
    while not follower.heard.empty():
        assert follower.heard.get() == b"first"
    follower.path.write_bytes(b"after it")
    assert follower.next() == b"after it"


def test_a_file_that_is_written_in_pieces_is_read_when_it_has_come_to_rest(follower: Follower) -> None:
    """Pieces come faster than a file has to rest; what is read last is whole."""
    with follower.path.open("wb", buffering=0) as file:
        for _ in range(12):
            file.write(b"piece ")
            time.sleep(watching.SETTLED / 10)
    assert follower.reaches(b"piece " * 12) < 12
    assert follower.rests()


def test_a_file_that_goes_on_changing_is_not_read_before_two_looks_find_it_alike(
    monkeypatch: pytest.MonkeyPatch, recipe: Path
) -> None:
    looks = iter(["first", "first", "second", "third", None, "fourth", "fourth", "never looked at"])
    monkeypatch.setattr(watching, "_fingerprint", lambda _: next(looks))
    monkeypatch.setattr(watching.time, "sleep", lambda _: None)
    heard = changes(recipe)
    next(heard)
    next(heard)
    assert list(looks) == ["never looked at"]


def test_a_file_that_vanishes_is_heard_and_so_is_its_return(follower: Follower) -> None:
    follower.path.unlink()
    assert follower.next() is None
    assert follower.rests()
    follower.path.write_bytes(b"back")
    assert follower.next() == b"back"


def test_a_file_that_is_not_there_yet_is_waited_for(tmp_path: Path) -> None:
    made = Follower(tmp_path / "later.toml")
    assert made.next() is None
    made.path.write_bytes(b"now")
    assert made.next() == b"now"
    made.end()


def test_a_change_while_the_last_one_is_worked_on_is_heard_afterwards(recipe: Path) -> None:
    """Whoever asks for the next change gets it at once, however long the proof took."""
    heard = changes(recipe)
    next(heard)
    recipe.write_bytes(b"one")
    next(heard)
    recipe.write_bytes(b"one while proving")
    recipe.write_bytes(b"another while proving")
    begun = time.monotonic()
    next(heard)
    assert recipe.read_bytes() == b"another while proving"
    assert time.monotonic() - begun < 2.0
    heard.close()  # type: ignore[attr-defined]


def test_a_link_is_followed_to_the_file_that_it_leads_to(tmp_path: Path) -> None:
    real, link = tmp_path / "real.toml", tmp_path / "link.toml"
    real.write_bytes(b"first")
    link.symlink_to(real)
    made = Follower(link)
    assert made.next() == b"first"
    real.write_bytes(b"through the link")
    assert made.next() == b"through the link"
    made.end()
