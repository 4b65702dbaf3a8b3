"""A recipe that is being worked on, and the page that follows it: changes of a file, and a server for this machine's
browser alone."""

from __future__ import annotations

import json
import math
import os
import socket
import stat
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from solids.base import tolerances as tol
from solids.base.errors import InputError

LOOPBACK = "127.0.0.1"
NAMES = (LOOPBACK, "localhost")
"""The host names that a browser on this machine uses for us. A request with any other name comes from a site that made
its own name resolve to this machine (DNS rebinding)."""

LOOK_EVERY = 0.04
SETTLED = 0.02
"""How often the file is looked at, and how long it must rest before it is read: editors write in several steps (s)."""

LONGEST_UNREST = 1.0
"""How long a file may go on changing before it is read all the same (s): a page that never follows helps nobody."""

SILENCE = 10.0
"""How long a connection may say nothing, or take nothing, before it is closed (s)."""

LONGEST_REQUEST = 30.0
"""How long a request and its answer may take, however slowly they go on (s). A stream of events may stay."""

MOST_CONNECTIONS = 64
"""A browser opens a handful. Of more the oldest is closed, so that the newest, which may be the maker's, is served."""

MOST_UNREAD = 65536
"""So many bytes of a request's body are taken and thrown away; a browser that is cut off before does not hear why."""

BREATH = 15.0
"""How often an idle stream of events says that it is still there (s)."""

HEADERS = {
    "Cache-Control": "no-store",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
}

WAITING = b"""<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>halfpin: waiting for a recipe that can be read</title>
<link rel="icon" href="data:,"><meta name="color-scheme" content="light dark"></head>
<body><main><h1>Nothing to show yet</h1><pre id="trouble" role="alert"></pre></main><script>
new EventSource("events").onmessage = (event) => {
  const news = JSON.parse(event.data);
  if (news.version) location.reload();
  document.getElementById("trouble").textContent = news.trouble;
};
</script></body></html>
"""
"""What is served before the first joint or box."""


class Bulletin:
    """What the page shows: the last good page, of a joint or a box, with its version, and what is wrong with the recipe
    now."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._page, self._version, self._trouble, self._edition = WAITING, 0, "", 0
        self._closed = False

    def show(self, page: bytes) -> None:
        """A new page; nothing is wrong any more."""
        with self._changed:
            self._page, self._version, self._trouble = page, self._version + 1, ""
            self._announce()

    def tell(self, trouble: str) -> None:
        """What is wrong with the recipe. The last good page stays."""
        with self._changed:
            self._trouble = trouble
            self._announce()

    def close(self) -> None:
        """Ends every stream of events."""
        with self._changed:
            self._closed = True
            self._announce()

    def _announce(self) -> None:
        self._edition += 1
        self._changed.notify_all()

    @property
    def page(self) -> bytes:
        """The page as it is now."""
        with self._changed:
            return self._page

    @property
    def next_version(self) -> int:
        """What the next page is numbered."""
        with self._changed:
            return self._version + 1

    def news(self) -> Iterator[bytes]:
        """Events as a browser takes them (HTML Living Standard, 9.2): how things are, and then every change."""
        seen = -1
        while True:
            with self._changed:
                fresh = self._edition != seen or self._changed.wait(timeout=BREATH)
                if self._closed:
                    return
                seen = self._edition
                said = json.dumps({"version": self._version, "trouble": self._trouble})
            yield f"data: {said}\n\n".encode() if fresh else b": still here\n\n"


@contextmanager
def served(bulletin: Bulletin, port: int) -> Iterator[str]:
    """Serves a bulletin on this machine alone while the block runs; gives the address to open. Port 0 is any that is
    free. InputError where the port cannot be had."""

    class Desk(_Desk):
        news_of = bulletin

    try:
        server = _Server((LOOPBACK, port), Desk)
    except (OSError, OverflowError) as err:
        raise InputError(f"--port {port} cannot be used: {getattr(err, 'strerror', None) or err}") from None
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.1}, daemon=True)
    thread.start()
    try:
        yield f"http://{LOOPBACK}:{server.server_port}/"
    finally:
        bulletin.close()
        server.shutdown()
        server.server_close()


class _Server(ThreadingHTTPServer):
    daemon_threads = True
    allow_reuse_address = sys.platform != "win32"  # there it would let another program take the port away
    request_queue_size = 1024  # who comes while these wait tries again after a whole second
    block_on_close = False

    def __init__(self, address: tuple[str, int], desk: type[BaseHTTPRequestHandler]) -> None:
        self._until: dict[Any, float] = {}
        self._lock = threading.Lock()
        super().__init__(address, desk)

    def get_request(self) -> tuple[socket.socket, Any]:
        """As it is; where the system has no more connections to give, it is not asked again at once."""
        try:
            return super().get_request()
        except OSError:
            time.sleep(0.1)
            raise

    def process_request(self, request: Any, client_address: Any) -> None:
        """Answers in a thread of its own, with a limit on its time and on how many there are."""
        with self._lock:
            self._until[request] = time.monotonic() + LONGEST_REQUEST
            extra = next(iter(self._until)) if len(self._until) > MOST_CONNECTIONS else None
        self._hang_up([extra] if extra else [])
        super().process_request(request, client_address)

    def stays(self, request: Any) -> None:
        """Takes away the limit on a connection's time."""
        with self._lock:
            if request in self._until:
                self._until[request] = math.inf

    def service_actions(self) -> None:
        """Some times a second: closes what has taken too long."""
        now = time.monotonic()
        with self._lock:
            late = [request for request, until in self._until.items() if until < now]
        self._hang_up(late)

    def _hang_up(self, requests: list[Any]) -> None:
        """Wakes the threads that wait at these connections; each closes its own."""
        for request in requests:
            with self._lock:
                self._until.pop(request, None)
            with suppress(OSError):
                request.shutdown(socket.SHUT_RDWR)

    def shutdown_request(self, request: Any) -> None:
        """The end of a connection."""
        with self._lock:
            self._until.pop(request, None)
        super().shutdown_request(request)

    def handle_error(self, *_: Any) -> None:
        """A browser that goes away in the middle of an answer is nobody's fault."""


class _Desk(BaseHTTPRequestHandler):
    """Answers requests of this machine's browser, and no others: one on each connection, so that nothing that comes
    after a request, such as its body, is ever taken for another."""

    server: _Server
    news_of: Bulletin
    timeout = SILENCE
    protocol_version = "HTTP/1.1"
    server_version = "halfpin"
    sys_version = ""

    def do_GET(self) -> None:
        """The page, or its stream of events."""
        if not self._is_ours():
            self._answer(HTTPStatus.FORBIDDEN, "text/plain", b"This page is for the browser on its own machine.\n")
        elif self.path == "/":
            self._answer(HTTPStatus.OK, "text/html; charset=utf-8", self.news_of.page)
        elif self.path == "/events":
            self._stream()
        else:
            self._answer(HTTPStatus.NOT_FOUND, "text/plain", b"There is nothing here.\n")

    def _is_ours(self) -> bool:
        """Whether the request names this machine as its host, and comes from no other site's page."""
        hosts = {f"{name}:{self.server.server_port}" for name in NAMES}
        origins = {f"http://{host}" for host in hosts}
        sites = {"none", "same-origin"}
        named = self.headers.get_all("Host", [])
        return (
            len(named) == 1
            and named[0] in hosts
            and set(self.headers.get_all("Origin", [])) <= origins
            and set(self.headers.get_all("Sec-Fetch-Site", [])) <= sites
        )

    def _answer(self, status: HTTPStatus, kind: str, body: bytes) -> None:
        self._head(status, kind)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def finish(self) -> None:
        """Ends an answer so that it arrives: a connection that is closed on unread bytes is cut off at both ends."""
        with suppress(OSError, ValueError):
            self.wfile.flush()
            self.connection.shutdown(socket.SHUT_WR)
            self.connection.settimeout(1.0)
            for _ in range(16):
                if not self.connection.recv(MOST_UNREAD // 16):
                    break
        super().finish()

    def _head(self, status: HTTPStatus, kind: str) -> None:
        self.send_response(status)
        self.send_header("Connection", "close")  # which is then done
        self.send_header("Content-Type", kind)
        for name, value in HEADERS.items():
            self.send_header(name, value)

    def _stream(self) -> None:
        self._head(HTTPStatus.OK, "text/event-stream")
        self.end_headers()
        self.server.stays(self.request)
        for event in self.news_of.news():
            self.wfile.write(event)
            self.wfile.flush()

    def log_message(self, *_: object) -> None:
        """Says nothing: the terminal is for the proof."""


def changes(path: Path) -> Iterator[None]:
    """Once at the start, and then each time the file has changed and come to rest. It may vanish and come back, as
    some editors write a new file in its place."""
    seen: object = None
    first = True
    while True:
        now = _state(path)
        if first or now != seen:
            latest = time.monotonic() + LONGEST_UNREST
            while not first and (later := _rested(path)) != now and time.monotonic() < latest:
                now = later
            seen, first = now, False
            yield
        time.sleep(LOOK_EVERY)


def _rested(path: Path) -> object:
    time.sleep(SETTLED)
    return _state(path)


def _state(path: Path) -> object:
    """What a change of the file changes. Its times alone are not enough: they can be set, and the system's clock for
    them may stand still for some milliseconds."""
    try:
        found = os.stat(path)
        words = path.read_bytes() if stat.S_ISREG(found.st_mode) and found.st_size <= tol.RECIPE_LARGEST_BYTES else b""
    except OSError:
        return None
    return found.st_ctime_ns, found.st_mtime_ns, found.st_size, found.st_ino, words
