"""Proofs behind the page: a process proves what was asked for last, and the solid to look at comes with it."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from solids.app.desk.work.helper import Helper, HelperEndedError
from solids.recipe.completing.shop import NO_SHOP, Shop

GIVEN_UP_AFTER = 2.0
"""How long a proof may still run when a newer one of its piece waits (s). One that is under way is mostly done sooner
than a fresh process has loaded the kernel."""

LONGEST = 120.0
"""How long any proof may take (s)."""

MOST_DEATHS = 2
"""How often the process may end over one request before that is given up."""

MOST_MODELS = 8
"""Of how many pieces the last solid is kept."""

ENDED = "The process that proves has ended. It is started again."
GIVEN_UP = "The process that proves has ended twice over this piece. Change something, and it is tried again."
TOO_LONG = "The proof took too long and was given up. Fewer tails, or a plainer joint, take less."


@dataclass
class _Request:
    name: str
    version: int
    text: str
    deaths: int = 0
    begun: float = field(default_factory=time.monotonic)
    given_up: bool = False


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
                answer = self._answer(request)
                if request.given_up:
                    raise HelperEndedError  # it was ended as it came to its end
                self._publish(request, answer)
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
        """Tells a proof, unless a newer version of the piece waits by now."""
        with self._changed:
            if request.name in self._waiting or self._closed:
                return
            if answer["result"] == "proof":
                self._models.pop(request.name, None)
                self._models[request.name] = (request.version, answer["model"])
                while len(self._models) > MOST_MODELS:
                    self._models.pop(next(iter(self._models)))
        about = {"name": request.name, "version": request.version}
        if answer["result"] != "proof":
            self._tell({"event": "trouble", **about, "words": answer["words"]})
            return
        model_at = f"api/model/{request.name}/{request.version}"
        self._tell({"event": "proof", **about, "proof": answer["proof"], "model_at": model_at})

    def _too_long(self, request: _Request) -> None:
        with self._changed:
            if self._at_work is not request:
                return
            request.deaths = MOST_DEATHS
            self._give_up(request)
        self._tell({"event": "trouble", "name": request.name, "version": request.version, "words": TOO_LONG})

    def _start_again(self, request: _Request) -> None:
        """A new process, and the request once more, unless it was given up or has ended the process before."""
        with self._changed:
            if self._closed:
                return
            self._helper.close()
            self._helper = Helper()
            request.deaths += 1
            again = request.deaths < MOST_DEATHS and not request.given_up and request.name not in self._waiting
            if again:
                self._waiting = {request.name: request, **self._waiting}
        if not request.given_up:
            words = ENDED if request.deaths < MOST_DEATHS else GIVEN_UP
            self._tell({"event": "trouble", "name": request.name, "version": request.version, "words": words})
