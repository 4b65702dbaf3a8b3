"""A sitting at the bench: the shelf, the recipes that are open, what is known of their proofs, and what is told to the
pages. One lock holds for all of it: of two changes that come at once, one is made upon the other."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from solids.app.desk.document import Document, with_changes
from solids.app.desk.events import Event, Events
from solids.app.desk.folder import NOT_PROVED, Shelf, with_title
from solids.app.desk.keys import values_of
from solids.base.errors import FileError, InputError

if TYPE_CHECKING:
    from solids.app.desk.hands import Hands, Plan, Reading, State
    from solids.recipe.completing.shop import Shop

RESTED, LONGEST_UNSAVED = 0.15, 0.7
"""How long a handle must stand still before its change is saved and proved, and the longest that a change waits for
the disk (s). A disk that refuses is tried again so often too."""

MOVED_ON = 5.0
"""After how long a movement that nobody ended is over (s)."""

EXPORTS = "exports"
"""The folder for files inside the folder of the recipes, as `halfpin build` has it."""

PROVED = {"pass": "proved", "warning": "proved", "fail": "fails"}
"""What the shelf says of a proof."""

CHANGED = "{} was changed by another program."


@dataclass
class _Open:
    """A document, with the times of its last change and of the last that was tried to save (s, on a clock that nobody
    sets), what was read of it last and in which version, the last good layout, and the version that was last given to
    be proved, with its text."""

    document: Document
    changed: float
    tried: float = 0.0
    reading: Reading | None = None
    read: tuple[int, bool] = (0, False)
    good: Plan | None = None
    asked: tuple[int, str] = (0, "")


class Sitting:
    """All that the pages of one bench share. Every method may be called from any thread."""

    def __init__(
        self,
        folder: Path,
        shop: Shop,
        hands_of: Callable[[Shop, Path, Callable[[Event], None]], Hands],
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self.shelf, self.events = Shelf(folder, shop), Events()
        self._clock = clock
        self._lock = threading.RLock()
        self._open: dict[str, _Open] = {}
        self._proofs: dict[str, tuple[str, Event]] = {}
        self.hands = hands_of(shop, self.shelf.folder / EXPORTS, self.hear)

    # --- the shelf

    def recipes(self) -> State:
        """The shelf as the page shows it, each recipe with the state of its proof."""
        found = self.shelf.recipes()
        with self._lock:
            proofs = dict(self._proofs)
        for one in found:
            text, event = proofs.get(one["name"], ("", {}))
            if one["state"] == NOT_PROVED and event and text == self.shelf.text_of(one["name"]):
                one["state"] = PROVED[event["proof"]["severity"]]
                one["why"] = event["proof"]["line"] if one["state"] == "fails" else ""
            one["picture"] = f"api/picture/{quote(one['name'])}?at={quote(one['changed'])}"
        return {"folder": str(self.shelf.folder), "recipes": found, "away": self.shelf.away()}

    def put_on_shelf(self, work: Callable[[Shelf], str]) -> str:
        """Does something with the shelf that leaves open recipes alone, and tells all pages; the recipe's name."""
        with self._lock:
            self._save_all()
            name = work(self.shelf)
        self.events.tell({"event": "shelf"})
        return name

    def rename(self, name: str, title: str) -> str:
        """Gives a recipe another title, and its file the name that goes with it. Its undo goes with it too."""
        with self._lock:
            opened = self._opened(name)
            with_title(opened.document.text, title, name)
            new = self.shelf.rename(name, title)
            self._open[new] = self._open.pop(name)
            self._forget(name)
            opened.document.path = self.shelf.path_of(new)
            opened.document.set({"title": title.strip()})
            opened.changed, opened.asked = self._clock(), (0, "")
        self.events.tell({"event": "shelf"})
        return new

    def put_away(self, name: str) -> str:
        """Puts a recipe away, with all that was changed."""
        with self._lock:
            if name in self._open:
                document = self._open[name].document
                document.rest()
                if document.is_waiting:
                    raise FileError(document.unsaved)
            new = self.shelf.put_away(name)
            self._open.pop(name, None)
            self._forget(name)
        self.events.tell({"event": "shelf"})
        return new

    def _forget(self, name: str) -> None:
        self._proofs.pop(name, None)
        self.hands.proving.forget(name)

    # --- a recipe that is open

    def state(self, name: str) -> State:
        """What the page shows of a recipe."""
        with self._lock:
            opened = self._opened(name)
            self._look(opened)
            self._prove(opened)
            return self._shown(opened)

    def set(self, name: str, typed: Mapping[str, Any], live: bool = False) -> State:
        """Changes keys, as they were typed."""
        values = values_of(typed)
        return self._change(name, lambda opened: opened.document.set(values, live), live)

    def move(self, name: str, handle: str, by_mm: float, live: bool = False) -> State:
        """Moves a handle; by 0 mm it only ends the movement. InputError where the joint could then not be laid out: a
        handle stops there."""

        def work(opened: _Open) -> None:
            document = opened.document
            self._look(opened)
            reading = self._reading(opened)
            if reading.plan is None or reading.tables is None:
                raise InputError("the joint as it stands cannot be laid out, so nothing on it can be moved")
            changes = values_of(self.hands.moved(reading.tables, reading.plan, handle, by_mm)) if by_mm else {}
            text = with_changes(document.text, changes, document.path.name) if changes else document.text
            there = self.hands.read(text, live) if changes else reading
            if there.plan is None:
                raise InputError(str(there.problems[0]))
            document.put(text, changes, live)
            if document.text == text:
                self._keep(opened, there, live)

        return self._change(name, work, live)

    def undo(self, name: str) -> State:
        """Takes the last change back."""
        return self._change(name, lambda opened: opened.document.undo())

    def redo(self, name: str) -> State:
        """Makes it again."""
        return self._change(name, lambda opened: opened.document.redo())

    def text_of(self, name: str) -> str:
        """The text of a recipe as the page has it."""
        with self._lock:
            return self._opened(name).document.text

    def picture(self, name: str) -> State:
        """What the page would show of a recipe, which need not be open."""
        with self._lock:
            opened = self._open.get(name)
        text = opened.document.text if opened else self.shelf.text_of(name)
        return self.hands.state_of(self.hands.read(text, True), opened.good if opened else None)

    def model(self, name: str, version: int) -> str:
        """The solid of a version, as the page's drawing of it reads it. FileError where it is not there."""
        found = self.hands.proving.model(name, version)
        if found is None:
            raise FileError(f"the solid of version {version} of {name[:80]!r} is not there; a newer one may be")
        return found

    def make(self, name: str, wanted: Sequence[str]) -> str:
        """Begins to make files; the id of this work."""
        return self.hands.making.start(name, self.text_of(name), wanted, self.events.tell)

    def _opened(self, name: str) -> _Open:
        if name not in self._open:
            self._open[name] = _Open(Document(self.shelf.path_of(name)), self._clock())
        return self._open[name]

    def _change(self, name: str, work: Callable[[_Open], None], live: bool = False) -> State:
        with self._lock:
            opened = self._opened(name)
            before = opened.document.version
            work(opened)
            opened.changed = self._clock()
            if not live:
                opened.tried = opened.changed
                self._prove(opened)
            if opened.document.version != before:
                self._tell_state(opened)
            return self._shown(opened)

    def _reading(self, opened: _Open) -> Reading:
        """What the text means, read again only where it has changed, or where more is to be said of it."""
        document = opened.document
        version, was_live = opened.read
        if opened.reading is None or version != document.version or was_live > document.is_moving:
            self._keep(opened, self.hands.read(document.text, document.is_moving), document.is_moving)
        assert opened.reading is not None
        return opened.reading

    @staticmethod
    def _keep(opened: _Open, reading: Reading, live: bool) -> None:
        opened.reading, opened.read = reading, (opened.document.version, live)
        opened.good = reading.plan or opened.good

    def _shown(self, opened: _Open) -> State:
        document = opened.document
        text, event = self._proofs.get(document.name, ("", {}))
        known = {**event, "version": document.version} if event and text == document.text else None
        return {
            **self.hands.state_of(self._reading(opened), opened.good),
            "name": document.name,
            "version": document.version,
            "can_undo": document.can_undo,
            "can_redo": document.can_redo,
            "changed": list(document.changed),
            "unsaved": document.unsaved,
            "proof": known,
        }

    def _tell_state(self, opened: _Open, words: str = "") -> None:
        document = opened.document
        self.events.tell({"event": "state", "name": document.name, "version": document.version, "words": words})

    # --- proofs

    def _prove(self, opened: _Open) -> None:
        """Asks for the proof of a joint that can be laid out, once for each version; tells a proof that is known."""
        document = opened.document
        if opened.asked[0] == document.version or self._reading(opened).plan is None:
            return
        opened.asked = document.version, document.text
        text, event = self._proofs.get(document.name, ("", {}))
        if event and text == document.text:
            self.events.tell({**event, "version": document.version})
        else:
            self.hands.proving.submit(document.name, document.version, document.text)

    def hear(self, event: Event) -> None:
        """Takes in what is told of a proof, and tells it to all pages."""
        if event["event"] == "proof":
            name, version = event["name"], event["version"]
            event = {**event, "model_at": f"api/model/{quote(name)}/{version}"}
            with self._lock:
                opened = self._open.get(name)
                if opened and opened.asked[0] == version:
                    self._proofs[name] = opened.asked[1], event
        self.events.tell(event)

    # --- what happens by itself

    def look(self, names: Iterable[str] | None = None) -> None:
        """Takes in what other programs have done to open recipes: to those of these names, or to all."""
        with self._lock:
            for opened in [one for name, one in self._open.items() if names is None or name in names]:
                self._look(opened)

    def tick(self) -> None:
        """Saves what has rested, and what has waited long enough; called many times a second."""
        with self._lock:
            now = self._clock()
            for opened in self._open.values():
                document, still = opened.document, now - opened.changed
                is_due = (still > RESTED and opened.tried < opened.changed) or now - opened.tried > LONGEST_UNSAVED
                if document.is_waiting and is_due:
                    opened.tried = now
                    self._look(opened, Document.save)
                if document.is_moving and still > MOVED_ON:
                    document.rest()
                if still > RESTED:
                    self._prove(opened)

    def close(self) -> None:
        """Saves all, and ends what works beside."""
        with self._lock:
            self._save_all()
        self.events.close()
        self.hands.proving.close()
        self.hands.making.close()

    def unsaved(self) -> list[str]:
        """Why something is not on disk, for every recipe of which that is so."""
        with self._lock:
            return [one.document.unsaved for one in self._open.values() if one.document.is_waiting]

    def _save_all(self) -> None:
        for opened in self._open.values():
            opened.document.rest()

    def _look(self, opened: _Open, how: Callable[[Document], object] = Document.take_in) -> None:
        """Takes in, or saves, and tells what another program has changed, and what is wrong."""
        document = opened.document
        before, version = document.unsaved, document.version
        how(document)
        if document.version != version:
            opened.changed = self._clock()
            self._tell_state(opened, CHANGED.format(document.path.name))
        if document.unsaved and document.unsaved != before:
            self.events.tell({"event": "trouble", "words": document.unsaved})
