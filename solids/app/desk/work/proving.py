"""Proofs behind the page: a process proves what was asked for last, and the solid to look at comes with it."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from solids.app.desk.work.helper import Helper, HelperEndedError
from solids.base.windows import why_not
from solids.recipe.completing.shop import NO_SHOP, Shop

GIVEN_UP_AFTER = 2.0
"""How long a proof may still run when a newer one of its piece waits (s). One that is under way is mostly done sooner
than a fresh process has loaded the kernel."""

LONGEST = 120.0
"""How long any proof may take (s)."""

MOST_DEATHS = 2
"""How often the process may end over one request before that is given up."""

AGAIN_AFTER = 2.0
"""After how long a process is started again that could not be started (s)."""

MOST_MODELS = 8
"""Of how many pieces the last solid is kept."""

ENDED = "The process that proves has ended. It is started again."
GIVEN_UP = "The process that proves has ended twice over this piece. Change something, and it is tried again."
NO_PROCESS = "No process that proves can be started: {}. It is tried again."
TOO_LONG = "The proof took too long and was given up. Fewer tails, or a plainer joint, take less."


@dataclass
class _Request:
    name: str
    version: int
    text: str
    deaths: int = 0
    begun: float = field(default_factory=time.monotonic)
    given_up: bool = False
    forgotten: bool = False


class Proving:
    """Proves pieces, the newest request first; an older one of the same piece is given up. `tell` is called from
    another thread with each event for the page: a proof, or trouble."""

    def __init__(self, tell: Callable[[dict[str, Any]], None], shop: Shop = NO_SHOP) -> None:
        self.shop = shop
        self._tell = tell
        self._waiting: dict[str, _Request] = {}
        self._at_work: _Request | None = None
        self._models: dict[str, tuple[int, str]] = {}
        self._changed = threading.Condition()
        self._closed = False
        self._helper = Helper()
        self._thread = threading.Thread(target=self._run, daemon=True, name="proving")
        self._thread.start()

    def submit(self, name: str, version: int, text: str) -> None:
        """Asks for the proof of a version of a piece."""
        with self._changed:
            self._waiting.pop(name, None)  # so that it goes to the end, as the newest
            self._waiting[name] = _Request(name, version, text)
            now = self._at_work
            if now and now.name == name and time.monotonic() - now.begun > GIVEN_UP_AFTER:
                self._give_up(now)
            self._changed.notify_all()

    def forget(self, name: str) -> None:
        """Gives up what waits for a piece that is no longer looked at, and its solid."""
        with self._changed:
            self._waiting.pop(name, None)
            self._models.pop(name, None)
            if self._at_work and self._at_work.name == name:
                self._at_work.forgotten = True  # the next piece of this name begins with the same version

    def model(self, name: str, version: int) -> str | None:
        """The scene of a version of a piece as JSON; None where that is not, or no longer, at hand."""
        with self._changed:
            found = self._models.get(name)
        return found[1] if found and found[0] == version else None

    def close(self) -> None:
        """Ends the process and the thread."""
        with self._changed:
            self._closed = True
            self._helper.kill()
            self._changed.notify_all()
        self._thread.join(LONGEST)
        self._helper.close()

    # --- in the thread -----------------------------------------------------------------------------

    def _give_up(self, request: _Request) -> None:
        request.given_up = True
        self._helper.kill()

    def _run(self) -> None:
        while (request := self._next()) is not None:
            late = threading.Timer(LONGEST, self._too_long, (request,))
            late.daemon = True
            late.start()
            try:
                self._publish(request, self._answer(request))
            except HelperEndedError:
                self._start_again(request)
            finally:
                late.cancel()

    def _next(self) -> _Request | None:
        """The newest request, once there is one; None at the end."""
        with self._changed:
            self._at_work = None
            self._changed.wait_for(lambda: self._closed or self._waiting)
            if self._closed:
                return None
            _, request = self._waiting.popitem()
            request.begun = time.monotonic()
            self._at_work = request
            return request

    def _answer(self, request: _Request) -> dict[str, Any]:
        shop = dict(self.shop.tables) or None
        asked = {"task": "prove", "text": request.text, "shop": shop}
        *_, last = self._helper.ask(asked)
        return last

    def _publish(self, request: _Request, answer: Mapping[str, Any]) -> None:
        """Tells a proof, unless a newer version of the piece waits by now. HelperEndedError where the process was
        ended as it came to its end."""
        with self._changed:
            if request.given_up:
                raise HelperEndedError
            self._at_work = None  # it is done: who asks for the next while this is told must not end the process
            if request.name in self._waiting or request.forgotten or self._closed:
                return
            if answer["result"] == "proof":
                self._models.pop(request.name, None)
                self._models[request.name] = (request.version, answer["model"])
                while len(self._models) > MOST_MODELS:
                    self._models.pop(next(iter(self._models)))
        if answer["result"] != "proof":
            self._tell_trouble(request, answer["words"], gave_up=True)
            return
        about = {"name": request.name, "version": request.version}
        self._tell({"event": "proof", **about, "proof": answer["proof"]})

    def _too_long(self, request: _Request) -> None:
        with self._changed:
            if self._at_work is not request:
                return
            request.deaths = MOST_DEATHS
            self._give_up(request)
        self._tell_trouble(request, TOO_LONG, gave_up=True)

    def _start_again(self, request: _Request) -> None:
        """A new process, and the request once more, unless it was given up or has ended the process before."""
        with self._changed:
            if self._closed:
                return
            self._helper.close()
            request.deaths += 1
            is_wanted = not request.given_up and not request.forgotten and request.name not in self._waiting
            again = request.deaths < MOST_DEATHS and is_wanted
            if again:
                self._waiting = {request.name: request, **self._waiting}
        if not request.given_up:
            is_over = request.deaths >= MOST_DEATHS
            self._tell_trouble(request, GIVEN_UP if is_over else ENDED, gave_up=is_over)
        self._start(request)

    def _start(self, request: _Request) -> None:
        """A new process, once the system gives one."""
        words = ""
        while True:
            with self._changed:
                if self._closed:
                    return
                try:
                    self._helper = Helper()
                except OSError as err:
                    why = NO_PROCESS.format(why_not(err))
                else:
                    return
            if why != words:
                self._tell_trouble(request, why)
                words = why
            with self._changed:
                self._changed.wait_for(lambda: self._closed, AGAIN_AFTER)

    def _tell_trouble(self, request: _Request, words: str, gave_up: bool = False) -> None:
        """Tells what is wrong; `gave_up` where no proof of this version will come."""
        about = {"name": request.name, "version": request.version}
        self._tell({"event": "trouble", **about, "words": words, "gave_up": gave_up})
