"""The live page: watches a recipe's file for changes, and serves the page to the browser on this machine only."""

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

POLL_EVERY = 0.04
SETTLED = 0.02
"""How often the file is polled, and how long it must be unchanged before it is read, as editors write in steps (s)."""

LONGEST_CHANGING = 1.0
"""The longest wait for a file that keeps changing; then it is read anyway, so that the page does not freeze (s)."""

SILENCE = 10.0
"""How long a connection may stay idle, reading or writing, before it is closed (s)."""

LONGEST_REQUEST = 30.0
"""How long a request and its answer may take in all (s). An event stream has no such limit."""

MOST_CONNECTIONS = 64
"""A browser opens a handful. Beyond this the oldest is closed, so that a new one, perhaps the user's, is served."""

MOST_UNREAD = 65536
"""How many bytes of a request's body are read and discarded. A browser cut off sooner never sees the answer."""

KEEP_ALIVE = 15.0
"""The interval between keep-alive comments on an idle event stream (s)."""

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
"""The page served until a recipe has been read and proved."""


class Bulletin:
    """The state of the live page: the last good page with its version, and the current error in the recipe, if any."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._page, self._version, self._trouble, self._edition = WAITING, 0, "", 0
        self._closed = False

    def show(self, page: bytes) -> None:
        """Publishes a new page and clears the error."""
        with self._changed:
            self._page, self._version, self._trouble = page, self._version + 1, ""
            self._announce()

    def tell(self, trouble: str) -> None:
        """Reports an error in the recipe. The last good page stays."""
        with self._changed:
            self._trouble = trouble
            self._announce()

    def close(self) -> None:
        """Ends every event stream."""
        with self._changed:
            self._closed = True
            self._announce()

    def _announce(self) -> None:
        self._edition += 1
        self._changed.notify_all()

    @property
    def page(self) -> bytes:
        """The current page."""
        with self._changed:
            return self._page

    @property
    def next_version(self) -> int:
        """The version number that the next page will have."""
        with self._changed:
            return self._version + 1

    def news(self) -> Iterator[bytes]:
        """Yields server-sent events (HTML Living Standard, 9.2): the current state, then every change."""
        seen = -1
        while True:
            with self._changed:
                fresh = self._edition != seen or self._changed.wait(timeout=KEEP_ALIVE)
                if self._closed:
                    return
                seen = self._edition
                said = json.dumps({"version": self._version, "trouble": self._trouble})
            yield f"data: {said}\n\n".encode() if fresh else b": still here\n\n"


@contextmanager
def served(bulletin: Bulletin, port: int) -> Iterator[str]:
    """Serves a bulletin on this machine only while the block runs, and yields the address to open. Port 0 means any
    free port. InputError if the port cannot be used."""

    class Handler(_Handler):
        live = bulletin

    try:
        server = _Server((LOOPBACK, port), Handler)
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
    allow_reuse_address = sys.platform != "win32"  # on Windows it would let another program take over the port
    request_queue_size = 1024  # beyond this backlog, a browser retries only after a full second
    block_on_close = False

    def __init__(self, address: tuple[str, int], handler: type[BaseHTTPRequestHandler]) -> None:
        self._until: dict[Any, float] = {}
        self._lock = threading.Lock()
        super().__init__(address, handler)

    def get_request(self) -> tuple[socket.socket, Any]:
        """Accepts a connection. If the system has none left to give, waits a moment, so that we do not spin."""
        try:
            return super().get_request()
        except OSError:
            time.sleep(0.1)
            raise

    def process_request(self, request: Any, client_address: Any) -> None:
        """Answers in a new thread. Both the time and the number of connections are limited."""
        with self._lock:
            self._until[request] = time.monotonic() + LONGEST_REQUEST
            extra = next(iter(self._until)) if len(self._until) > MOST_CONNECTIONS else None
        self._shut_down([extra] if extra else [])
        super().process_request(request, client_address)

    def lift_time_limit(self, request: Any) -> None:
        """Lifts the time limit of a connection."""
        with self._lock:
            if request in self._until:
                self._until[request] = math.inf

    def service_actions(self) -> None:
        """Closes connections that have taken too long. The server calls this several times a second."""
        now = time.monotonic()
        with self._lock:
            late = [request for request, until in self._until.items() if until < now]
        self._shut_down(late)

    def _shut_down(self, requests: list[Any]) -> None:
        """Wakes the threads that wait on these connections; each closes its own."""
        for request in requests:
            with self._lock:
                self._until.pop(request, None)
            with suppress(OSError):
                request.shutdown(socket.SHUT_RDWR)

    def shutdown_request(self, request: Any) -> None:
        """Forgets a connection and closes it."""
        with self._lock:
            self._until.pop(request, None)
        super().shutdown_request(request)

    def handle_error(self, *_: Any) -> None:
        """Ignores errors: a browser may leave in the middle of an answer."""


class _Handler(BaseHTTPRequestHandler):
    """Answers requests from this machine's browser only, one per connection, so that bytes after a request, such as its
    body, are never taken for another request."""

    server: _Server
    live: Bulletin
    timeout = SILENCE
    protocol_version = "HTTP/1.1"
    server_version = "halfpin"
    sys_version = ""

    def do_GET(self) -> None:
        """Sends the page or its event stream."""
        if not self._is_ours():
            self._answer(HTTPStatus.FORBIDDEN, "text/plain", b"This page is for the browser on its own machine.\n")
        elif self.path == "/":
            self._answer(HTTPStatus.OK, "text/html; charset=utf-8", self.live.page)
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
        """Reads what the browser still sends, then closes. Closing on unread bytes would reset the connection, and the
        browser would lose the answer."""
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
        self.send_header("Connection", "close")  # one request per connection
        self.send_header("Content-Type", kind)
        for name, value in HEADERS.items():
            self.send_header(name, value)

    def _stream(self) -> None:
        self._head(HTTPStatus.OK, "text/event-stream")
        self.end_headers()
        self.server.lift_time_limit(self.request)
        for event in self.live.news():
            self.wfile.write(event)
            self.wfile.flush()

    def log_message(self, *_: object) -> None:
        """Logs nothing: the terminal is for the proof."""


def changes(path: Path) -> Iterator[None]:
    """Yields once at the start, then each time the file has changed and settled. The file may vanish and come back, as
    some editors replace it with a new one."""
    seen: object = None
    first = True
    while True:
        now = _fingerprint(path)
        if first or now != seen:
            latest = time.monotonic() + LONGEST_CHANGING
            while not first and (later := _fingerprint_after_pause(path)) != now and time.monotonic() < latest:
                now = later
            seen, first = now, False
            yield
        time.sleep(POLL_EVERY)


def _fingerprint_after_pause(path: Path) -> object:
    time.sleep(SETTLED)
    return _fingerprint(path)


def _fingerprint(path: Path) -> object:
    """A value that differs whenever the file does. Times alone are not enough: they can be set, and the clock behind
    them may not move for some milliseconds."""
    try:
        found = os.stat(path)
        words = path.read_bytes() if stat.S_ISREG(found.st_mode) and found.st_size <= tol.RECIPE_LARGEST_BYTES else b""
    except OSError:
        return None
    return found.st_ctime_ns, found.st_mtime_ns, found.st_size, found.st_ino, words
