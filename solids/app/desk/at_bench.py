"""A piece at the bench: its order of work, with the steps that a maker has ticked off. They are kept in a small file
for each recipe, so that they are there after a restart, and on every page.

With each tick the words are kept that were ticked. Where a recipe has changed so that a step says something else, the
tick no longer holds, and the step tells what it said.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from solids.app.recipe_files import write_over
from solids.base.errors import FileError, InputError

if TYPE_CHECKING:
    from solids.app.desk.events import Event
    from solids.app.desk.sitting import Sitting

Ticks = dict[str, str]
"""What each ticked step said, by the name of the step."""

Kept = dict[str, Ticks]

TICKED, CLEARED = "ticked", "cleared"
"""The keys of the file: the ticks, and those that were cleared last, for the way back."""

LONGEST_WORDS = 20_000
"""Of a step, in letters; the longest that we write has some hundreds."""

ON_LIST = ("name", "title", "size", "piece", "state", "picture")
"""What is told of a piece where one is picked for the bench. No path of this machine is among it."""

FOR_GUESTS = ("state", "proof", "ticked", "shelf", "renamed", "away")
"""The news that others in the network hear, and of each no more than the name of the piece, and its new one."""

NOT_THERE = "The bench cannot show or save that now. The page on its own machine says why."


def for_guests(event: Event) -> Event | None:
    """What others in the network hear of an event."""
    if event["event"] not in FOR_GUESTS:
        return None
    return {key: event[key] for key in ("event", "name", "to") if key in event}


def for_a_guest(err: Exception) -> Exception:
    """What others in the network are told of an error: what the maker did wrong, and no path of this machine."""
    return err if isinstance(err, InputError) else InputError(NOT_THERE)


class AtBench:
    """What the pages at the bench show and tick, of every piece in the folder. Every method may be called from any
    thread. `address` is where others in the local network find it; empty where it is not offered to them."""

    def __init__(self, sitting: Sitting) -> None:
        self.address = ""
        self._sitting = sitting
        self._lock = threading.Lock()

    def pieces(self) -> list[dict[str, Any]]:
        """The pieces to pick from."""
        return [{key: one[key] for key in ON_LIST} for one in self._sitting.recipes()["recipes"]]

    def shown(self, name: str) -> dict[str, Any]:
        """A piece with its steps and ticks. Where its recipe cannot be cut, the last good joint stays in view."""
        found = self._sitting.work(name)
        return _with_ticks(found, self._kept(name))

    def tick(self, name: str, step: str, words: str, done: bool) -> dict[str, Any]:
        """Ticks a step, or takes the tick away. `words` are what the maker has read there; InputError where the step
        says something else by now."""
        said = {one["step"]: one["how"] for stage in self._stages(name) for one in stage["steps"]}
        if said.get(step) != words:
            raise InputError("this step says something else by now; read it again before you tick it")

        def change(kept: Kept) -> Kept:
            ticked = {key: value for key, value in kept[TICKED].items() if key != step}
            return {**kept, TICKED: {**ticked, step: words} if done else ticked}

        return self._change(name, change)

    def begin_again(self, name: str) -> dict[str, Any]:
        """Takes all ticks away; `back` brings them back."""
        return self._change(name, lambda kept: {TICKED: {}, CLEARED: kept[TICKED]} if kept[TICKED] else kept)

    def back(self, name: str) -> dict[str, Any]:
        """Brings back what was cleared last, beside what was ticked since."""
        return self._change(name, lambda kept: {TICKED: {**kept[CLEARED], **kept[TICKED]}, CLEARED: {}})

    def _stages(self, name: str) -> list[dict[str, Any]]:
        work = self._sitting.work(name)["work"]
        return work["stages"] if work else []

    def _change(self, name: str, change: Callable[[Kept], Kept]) -> dict[str, Any]:
        with self._lock:
            kept = self._kept(name)
            new = change(kept)
            if new != kept:
                write_over(self._sitting.shelf.ticks_of(name), json.dumps(new, ensure_ascii=False, indent=1) + "\n")
        if new != kept:
            self._sitting.events.tell({"event": "ticked", "name": name})
        return self.shown(name)

    def _kept(self, name: str) -> Kept:
        """What is in the file of a recipe. FileError where that is no such file; it is then left alone."""
        shelf = self._sitting.shelf
        file = shelf.ticks_of(name)
        if file.parent.is_symlink():
            raise FileError(f"the folder {file.parent.name} is a link to another place; put a folder there")
        if not file.exists() and not file.is_symlink():
            return {TICKED: {}, CLEARED: {}}
        try:
            found = json.loads(shelf.text_at(file))
        except (ValueError, RecursionError):
            found = None
        if not isinstance(found, dict) or not all(_are_ticks(found.get(key)) for key in (TICKED, CLEARED)):
            raise FileError(f"{file.parent.name}/{file.name} holds no ticks of ours; move it away and tick anew")
        return {key: found[key] for key in (TICKED, CLEARED)}


def _are_ticks(found: object) -> bool:
    return isinstance(found, dict) and all(isinstance(one, str) and len(one) <= LONGEST_WORDS for one in found.values())


def _with_ticks(found: Mapping[str, Any], kept: Kept) -> dict[str, Any]:
    """A piece with its ticks: each step with `ticked`, and with `said` where it said something else when it was ticked.
    `gone` are the ticked steps that this order of work no longer has."""
    work, ticked = found["work"], kept[TICKED]
    if not work:
        return {**found, "gone": [], "can_go_back": bool(kept[CLEARED])}
    stages = [{**stage, "steps": [_step(one, ticked) for one in stage["steps"]]} for stage in work["stages"]]
    there = {one["step"] for stage in work["stages"] for one in stage["steps"]}
    gone = [] if work["waits"] else [step for step in ticked if step not in there]
    return {**found, "work": {**work, "stages": stages}, "gone": gone, "can_go_back": bool(kept[CLEARED])}


def _step(one: Mapping[str, str], ticked: Ticks) -> dict[str, Any]:
    said = ticked.get(one["step"])
    return {**one, "ticked": said == one["how"], "said": said if said not in (None, one["how"]) else ""}
