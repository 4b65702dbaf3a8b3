"""The connections of the bench. The library gives a client that says nothing, or reads nothing, all the time in the
world; here it has half a minute, and a crowd of them does not lock the maker out."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from typing import Any, cast

from uvicorn.protocols.http.h11_impl import H11Protocol

LONGEST_SILENCE = 30.0
"""How long a request may take to arrive, and how long a client may read nothing of its answer (s). What we take to
answer has no limit, and a stream of news that is read goes on."""

MOST = 64
"""A browser opens a handful. Beyond this one is closed, so that a new one, perhaps the maker's, is served."""

WAITING_LINE = 32
"""How many may wait to be taken in. All of them are at once, and up to three such lots are there before the first is
closed: with `MOST` that stays below the 256 files that macOS lets a program open (from memory)."""


class Connection(H11Protocol):
    """A connection that knows since when it waits for its client."""

    begun = since = 0.0
    _waits_for: tuple[object, ...] | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Takes it in. Where there are too many, another is closed."""
        super().connection_made(transport)
        self.begun = self.since = self.loop.time()
        self._waits_for = self._waiting_for
        # Those that are closed already stay in the set until the loop has come round to them.
        others = {one for one in cast("set[Connection]", self.connections) - {self} if not one.transport.is_closing()}
        if len(others) >= MOST:
            min(others, key=lambda one: (not one.is_silent, one.begun)).transport.abort()

    def eof_received(self) -> bool | None:  # type: ignore[override]
        """The client will say no more. Whether it is kept all the same: until it has the answer that we work on."""
        if self.cycle is None or self.cycle.response_started:
            return None
        self.cycle.keep_alive = False
        return True

    @property
    def is_silent(self) -> bool:
        """Whether it waits for its client."""
        return self._waiting_for is not None

    @property
    def _waiting_for(self) -> tuple[object, ...] | None:
        """What it waits for: a request, the rest of one, or that some of the answer is read. None where we work."""
        cycle = self.cycle
        if cycle is None or cycle.response_complete:
            return "a request", cycle
        if cycle.more_body:
            return "the rest of it", cycle
        return ("a reader", self.transport.get_write_buffer_size()) if self.flow.write_paused else None

    def look(self, now: float) -> None:
        """Closes it where it has waited too long."""
        if self._waiting_for != self._waits_for:
            self._waits_for, self.since = self._waiting_for, now
        elif self._waits_for is not None and now - self.since > LONGEST_SILENCE:
            self.transport.abort()


def look_after(connections: Iterable[Any], now: float) -> None:
    """Closes those that have waited too long, by the clock of the loop (s). To be called several times a second."""
    for one in list(connections):
        cast("Connection", one).look(now)
