"""A sitting at the bench: the shelf, the recipes that are open, what is known of their proofs, and what is told to the
pages. One lock holds for all of it: of two changes that come at once, one is made upon the other."""

from __future__ import annotations

import hashlib
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from solids.app.desk.at_bench import AtBench
from solids.app.desk.document import Document, with_changes
from solids.app.desk.events import Event, Events
from solids.app.desk.keys import values_of
from solids.app.desk.opened import Open
from solids.app.desk.proved import Proved
from solids.app.desk.shelf.folder import Shelf, with_title
from solids.app.exits import told
from solids.base.errors import FileError, InputError

if TYPE_CHECKING:
    from solids.app.desk.hands import Hands, Plan, Reading, State
    from solids.app.desk.shop.own_shop import OwnShop
    from solids.recipe.completing.shop import Shop

EXPORTS = "exports"
"""The folder for files inside the folder of the recipes, as `halfpin build` has it."""

CHANGED, UNDO_THEN = "{} was changed by another program.", "You see it as it is now; Undo takes it back."
SHOP_CHANGED, SHOP_THEN = "My shop has changed.", "You see the piece with it; My shop has the way back."


class Sitting:
    """All that the pages of one bench share. Every method may be called from any thread."""

    own_shop: OwnShop | None = None

    def __init__(
        self,
        folder: Path,
        shop: Shop,
        hands_of: Callable[[Shop, Path, Callable[[Event], None]], Hands],
        clock: Callable[[], float] = time.monotonic,
        proofs: Path | None = None,
    ) -> None:
        """`proofs` is the file that keeps what proofs have found; None keeps it for this sitting."""
        self.shelf, self.events, self._clock = Shelf(folder, shop), Events(), clock
        self._lock = threading.RLock()
        self._open: dict[str, Open] = {}
        self._troubles: dict[str, str] = {}
        self.proved = Proved(shop, proofs, self.events, clock())
        self.exports = self.shelf.folder / EXPORTS
        self.hands = hands_of(shop, self.exports, self.hear)
        self.proved.proving = self.hands.proving
        self.at_bench = AtBench(self)

    # --- the shelf

    def recipes(self) -> State:
        """The shelf as the page shows it, each recipe with the state of its proof."""
        shelf, found = self.shelf, self.shelf.recipes()
        for one in found:
            text = shelf.last_text(one["name"])
            self.proved.mark(one, text)
            # Another picture has another address, so that no browser shows an old one.
            at = hashlib.sha256((text or "").encode("utf-8", "replace")).hexdigest()[:16]
            one["picture"] = f"api/picture/{quote(one['name'])}?at={at}"
        return {"folder": str(shelf.folder), "recipes": found, "away": shelf.away(), "left_out": shelf.left_out()}

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
            self.proved.forget(name)
            self.proved.forget(new)
            opened.document.path = self.shelf.path_of(new)
            opened.document.set({"title": title.strip()})
            opened.changed, opened.asked = self._clock(), (0, "")
        if new != name:
            self.events.tell({"event": "renamed", "name": name, "to": new})
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
            self.proved.forget(name)
        self.events.tell({"event": "away", "name": name})
        self.events.tell({"event": "shelf"})
        return new

    # --- a recipe that is open

    def state(self, name: str) -> State:
        """What the page shows of a recipe."""
        with self._lock:
            opened = self._opened(name)
            self._look(opened)
            self._prove(opened)
            return self._shown(opened)

    def work(self, name: str) -> State:
        """What is read of a recipe at the bench: its order of work, or that of the last good joint."""
        with self._lock:
            state, opened = self.state(name), self._opened(name)
            plan, proof = self._reading(opened).plan or opened.good, (state["proof"] or {}).get("proof")
            told = {key: state[key] for key in ("name", "title", "version", "good", "problems")}
            return {**told, "proof": proof, "work": self.hands.work_of(plan, proof) if plan else None}

    def set(self, name: str, typed: Mapping[str, Any], live: bool = False) -> State:
        """Changes keys, as they were typed."""
        values = values_of(typed)
        return self._change(name, lambda opened: opened.document.set(values, live), live)

    def move(self, name: str, handle: str, by_mm: float, live: bool = False) -> State:
        """Moves a handle; by 0 mm it only ends the movement. InputError where the joint could then not be laid out: a
        handle stops there."""

        def work(opened: Open) -> None:
            document = opened.document
            self._look(opened)
            reading = self._reading(opened)
            if reading.plan is None or reading.tables is None:
                raise InputError("the joint as it stands cannot be laid out, so nothing on it can be moved")
            changes = values_of(self.hands.moved(reading.tables, reading.plan, handle, by_mm)) if by_mm else {}
            text = with_changes(document.text, changes, document.path.name) if changes else document.text
            there = self.hands.read(text, live) if changes else reading
            if there.plan is None:
                if not live:
                    document.rest()
                first = there.problems[0]
                raise InputError(f"{first.wrong}; {first.remedy}")
            document.put(text, changes, live)
            if document.text == text:
                opened.keep(there, live)

        return self._change(name, work, live)

    def replace(self, name: str, made_of: Callable[[str], str]) -> State:
        """Puts another text in a recipe's place: what is made of the one that is there."""

        def work(opened: Open) -> None:
            self._look(opened)
            opened.document.replace(made_of(opened.document.text))

        return self._change(name, work)

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

    def plan(self, name: str) -> Plan | None:
        """The layout of a recipe as the page has it; None where it cannot be laid out."""
        with self._lock:
            return self._reading(self._opened(name)).plan

    def title(self, name: str) -> str:
        """Its title, from which the folder of its files has its name."""
        with self._lock:
            reading = self._reading(self._opened(name))
        written = (reading.tables or {}).get("title")
        return reading.plan.recipe.title if reading.plan else written if isinstance(written, str) else name

    def model(self, name: str, version: int) -> str | None:
        """The solid of a version; None where it is not there. FileError where there is no such recipe."""
        self.shelf.path_of(name)
        with self._lock:
            return self.proved.model(name, version, self._open.get(name))

    def _opened(self, name: str) -> Open:
        if name not in self._open:
            self._open[name] = Open(Document(self.shelf.path_of(name)), self._clock())
        return self._open[name]

    def _change(self, name: str, work: Callable[[Open], None], live: bool = False) -> State:
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

    def _reading(self, opened: Open) -> Reading:
        return opened.reading_by(self.hands.read)

    def _shown(self, opened: Open) -> State:
        document = opened.document
        return {
            **self.hands.state_of(self._reading(opened), opened.good),
            "name": document.name,
            "version": document.version,
            "can_undo": document.can_undo,
            "can_redo": document.can_redo,
            "changed": list(document.changed),
            "unsaved": document.unsaved,
            "proof": self.proved.of(document),
        }

    def _tell_state(self, opened: Open, words: str = "", then: str = UNDO_THEN) -> None:
        about = {"name": opened.document.name, "version": opened.document.version}
        self.events.tell({"event": "state", **about, "words": words, "then": then})

    # --- proofs

    def _prove(self, opened: Open) -> None:
        """Asks for the proof of a joint that can be laid out."""
        if self._reading(opened).plan is not None:
            self.proved.ask(opened)

    def hear(self, event: Event) -> None:
        """Takes in what is told of a proof, and tells it to all pages."""
        if event["event"] == "proof":
            with self._lock:
                event = self.proved.hear(event, self._open.get(event["name"]))
        self.events.tell(event)

    # --- what happens by itself

    def use_shop(self, shop: Shop, keys: tuple[str, ...]) -> None:
        """Puts the maker's changed shop behind all recipes; `keys` are those that changed. What is open is read anew,
        and proved again where that makes a difference."""
        with self._lock:
            self.shelf.use(shop)
            self.proved.use(shop)
            self.hands.use_shop(shop)
            for name, opened in self._open.items():
                before, opened.reading = opened.reading, None
                if self._reading(opened) == before:
                    continue
                opened.document.renew(keys)
                opened.read = opened.document.version, opened.read[1]
                self.proved.outdate(name)
                self._prove(opened)
                self._tell_state(opened, SHOP_CHANGED, SHOP_THEN)
        self.events.tell({"event": "shelf"})

    def look(self, names: Iterable[str] | None = None) -> None:
        """Takes in what other programs have done to open recipes: to those of these names, or to all."""
        with self._lock:
            for opened in [one for name, one in self._open.items() if names is None or name in names]:
                with self._going_on(opened.document.name):
                    self._look(opened)

    def tick(self) -> None:
        """Saves what has rested, and what has waited long enough; called many times a second."""
        now = self._clock()
        with self._going_on():
            self.proved.keep(now)
            if self.own_shop:
                self.own_shop.tick()
        with self._lock:
            for opened in list(self._open.values()):
                with self._going_on(opened.document.name):
                    self._see_to(opened, now)

    def _see_to(self, opened: Open, now: float) -> None:
        if opened.is_due(now):
            opened.tried = now
            self._look(opened, Document.save)
        if opened.has_moved_on(now):
            opened.document.rest()
        if opened.has_rested(now):
            self._prove(opened)

    @contextmanager
    def _going_on(self, name: str = "") -> Iterator[None]:
        """Goes on with all else, whatever goes wrong with one recipe, or beside all of them; tells it once."""
        before = self._troubles.pop(name, "")
        try:
            yield
        except Exception as err:
            self._troubles[name] = words = told(err)
            if words != before:
                self.events.tell({"event": "trouble", "name": name, "words": words})

    def close(self) -> None:
        """Saves all, and ends what works beside."""
        with self._lock:
            self._save_all()
        self.events.close()
        self.proved.close()
        self.hands.making.close()

    def unsaved(self) -> list[str]:
        """Why something is not on disk, for every recipe of which that is so."""
        with self._lock:
            found = [one.document.unsaved for one in self._open.values() if one.document.is_waiting]
            return found + (self.own_shop.unsaved() if self.own_shop else [])

    def _save_all(self) -> None:
        for opened in self._open.values():
            opened.document.rest()

    def _look(self, opened: Open, how: Callable[[Document], object] = Document.take_in) -> None:
        """Takes in, or saves, and tells what another program has changed, and what is wrong."""
        document = opened.document
        before, version = document.unsaved, document.version
        how(document)
        if document.version != version:
            opened.changed = self._clock()
            self._tell_state(opened, CHANGED.format(document.path.name))
        if document.unsaved == before:
            return
        if document.unsaved:
            self.events.tell({"event": "trouble", "words": document.unsaved})
        self.events.tell({"event": "disk", "name": document.name, "unsaved": document.unsaved})
