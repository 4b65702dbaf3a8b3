"""What stands before every request: it must name this machine as its host, come from no other site, and carry the key
of the sitting. And the headers of every answer."""

from __future__ import annotations

import json
import secrets
from collections.abc import Iterable

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LOOPBACK = "127.0.0.1"
NAMES = (LOOPBACK, "localhost")
"""The host names that a browser on this machine uses for us. A request with any other name comes from a site that made
its own name resolve to this machine (DNS rebinding)."""

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; "
    "connect-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
"""Content Security Policy Level 3 (W3C): nothing but our own files, and nothing inline."""

HEADERS = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": POLICY,
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
}
"""Of every answer, where it sets none of its own."""

FOREIGN = "This page is for the browser on its own machine. Open the address that the terminal shows."
FOREIGN_GUEST = "Open the address letter for letter as the machine with the bench shows it."
NO_KEY = (
    "This address holds no key of the sitting, or that of one which has ended. Open the one that the terminal shows."
)


def new_key() -> str:
    """A key for a sitting, which nobody guesses: 192 bits."""
    return secrets.token_urlsafe(24)


class Guard:
    """Lets a request in whose first path segment is the key, takes that segment away, and refuses all others."""

    def __init__(
        self,
        app: ASGIApp,
        key: str,
        port: int,
        ticket: str = "",
        names: Iterable[str] = NAMES,
        foreign: str = FOREIGN,
    ) -> None:
        """`ticket` is an address that leads to the page once, for a browser that we open ourselves: whoever may see the
        programs that run on this machine sees what they were started with. `foreign` is what those are told who name
        another host than `names`, or come from another site."""
        self._app, self._key, self._ticket, self._foreign = app, key, ticket, foreign
        self._hosts = {f"{name}:{port}" for name in names}
        if port == 80:
            self._hosts |= set(names)
        self._origins = {f"http://{host}" for host in self._hosts}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answers one request. Anything but HTTP, and the start and end of the server, is left unanswered."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
        if scope["type"] != "http":
            return
        refusal = self._refusal(scope)
        if refusal:
            if refusal == NO_KEY and self._takes_ticket(scope["path"]):
                await _answer(send, 303, "", Location=f"/{self._key}/")
            else:
                await _refuse(refusal, scope["path"], send)
            return
        _, _, rest = scope["path"][1:].partition("/")
        inside = {**scope, "path": f"/{rest}", "raw_path": f"/{rest}".encode()}

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        await self._app(inside, receive, with_headers)

    def _refusal(self, scope: Scope) -> str:
        headers = Headers(scope=scope)
        hosts = headers.getlist("host")
        is_ours = (
            len(hosts) == 1
            and hosts[0] in self._hosts
            and set(headers.getlist("origin")) <= self._origins
            and set(headers.getlist("sec-fetch-site")) <= {"none", "same-origin"}
        )
        if not is_ours:
            return self._foreign
        key, slash, _ = scope["path"][1:].partition("/")
        return "" if slash and _is_same(key, self._key) else NO_KEY

    def _takes_ticket(self, path: str) -> bool:
        is_taken = bool(self._ticket) and _is_same(path[1:], self._ticket)
        if is_taken:
            self._ticket = ""
        return is_taken


def _is_same(given: str, secret: str) -> bool:
    """Whether a secret was given, in a time that tells nothing of it."""
    return secrets.compare_digest(given.encode("utf-8", "replace"), secret.encode())


async def _refuse(words: str, path: str, send: Send) -> None:
    """Answers 403 in words: as JSON to a script of the page, as text to a reader."""
    is_script = "/api/" in path
    body = json.dumps({"trouble": words}) if is_script else f"{words}\n"
    await _answer(send, 403, body, "application/json" if is_script else "text/plain; charset=utf-8")


async def _answer(send: Send, status: int, body: str, kind: str = "text/plain", **more: str) -> None:
    data = body.encode()
    named = {**HEADERS, **more, "Content-Type": kind, "Content-Length": str(len(data)), "Connection": "close"}
    headers = [(name.lower().encode(), value.encode()) for name, value in named.items()]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": data})
