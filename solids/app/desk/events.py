"""News for every open page, as server-sent events (HTML Living Standard, 9.2). They may be told from any thread."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Callable
from contextlib import suppress
from typing import Any

KEEP_ALIVE = 15.0
"""The interval between comments on a stream that is idle, so that neither side takes the other for gone (s)."""

MOST_WAITING = 256
"""How much news waits for a page. One that is further behind is cut off; it comes back and asks for all that is."""

RETRY_MS = 500
"""How soon a page that lost us asks again (ms)."""

Event = dict[str, Any]


def everything(event: Event) -> Event | None:
    """What the maker's own page hears of an event: all of it."""
    return event


class Events:
    """What is told to all pages that listen. `first` gives what a page is told as it begins to."""

    def __init__(self) -> None:
        self._loop: asyncio.AbstractEventLoop | None = None
        self._listeners: set[asyncio.Queue[Event | None]] = set()
        self._is_closed = False
        self.first: Callable[[], list[Event]] = list

    def begin(self) -> None:
        """Called in the loop that streams."""
        self._loop = asyncio.get_running_loop()

    def tell(self, event: Event) -> None:
        """Tells all pages. Where nobody listens, nothing happens."""
        self._call(event)

    def close(self) -> None:
        """Ends every stream."""
        self._is_closed = True
        self._call(None)

    def _call(self, event: Event | None) -> None:
        with suppress(RuntimeError):  # the loop has ended, and every page with it
            if self._loop:
                self._loop.call_soon_threadsafe(self._hand_out, event)

    def _hand_out(self, event: Event | None) -> None:
        for queue in list(self._listeners):
            if event is None or queue.qsize() >= MOST_WAITING:
                while not queue.empty():
                    queue.get_nowait()
                event_or_end = None
            else:
                event_or_end = event
            queue.put_nowait(event_or_end)

    async def stream(
        self, every: float = KEEP_ALIVE, told: Callable[[Event], Event | None] = everything
    ) -> AsyncIterator[bytes]:
        """The events of one page, until it leaves or we end; a comment `every` so many seconds. `told` gives what this
        page may hear of an event, None for nothing."""
        queue: asyncio.Queue[Event | None] = asyncio.Queue()
        self._listeners.add(queue)
        try:
            yield f"retry: {RETRY_MS}\n\n".encode()
            for event in filter(None, map(told, self.first())):
                yield _line(event)
            while not self._is_closed:
                try:
                    news = await asyncio.wait_for(queue.get(), every)
                except TimeoutError:
                    yield b": still here\n\n"
                    continue
                if news is None:
                    return
                if heard := told(news):
                    yield _line(heard)
        finally:
            self._listeners.discard(queue)


def _line(event: Event) -> bytes:
    return f"data: {json.dumps(event, ensure_ascii=False)}\n\n".encode()
