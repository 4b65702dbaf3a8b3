"""What is known of the proofs of a sitting's recipes: those of recipes that are open, told to the pages with their
solids, and those of other days, for the shelf. Whoever calls holds the sitting's lock."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from solids.app.desk.proofs import Proofs
from solids.app.desk.shelf.folder import FAILS, NOT_PROVED

if TYPE_CHECKING:
    from solids.app.desk.document import Document
    from solids.app.desk.events import Event, Events
    from solids.app.desk.hands import Proving
    from solids.app.desk.opened import Open
    from solids.recipe.completing.shop import Shop

KEEP = 2.0
"""How often what proofs have found is put on disk (s)."""

MOST_TEXTS = 60
"""Of how many texts the proofs are kept whole, for kept states that are looked at again; the oldest go first."""

STATES = {"pass": "proved", "warning": "proved", "fail": FAILS}
"""What the shelf says of a proof."""


class Proved:
    """The proofs of a sitting."""

    proving: Proving

    def __init__(self, shop: Shop, file: Path | None, events: Events, now: float) -> None:
        """`file` keeps what proofs have found; None keeps it for this sitting."""
        self._found, self._events, self._kept = Proofs(shop, file), events, now
        self._proofs: dict[str, tuple[str, Event]] = {}
        self._kept_ones = threading.Lock()
        self._by_text: dict[str, Event] = {}
        self._asked: dict[str, tuple[int, str]] = {}

    def of_kept(self, name: str, number: int, text: str) -> Event | None:
        """The proof of a kept state, as the side of a page that is called `name` is told of it; where it is not known,
        it is asked for, and an event tells it. No lock need be held."""
        with self._kept_ones:
            if known := self._by_text.get(text):
                return {**known, "name": name, "version": number}
            self._asked[name] = number, text
        self.proving.submit(name, number, text)
        return None

    def _remember(self, text: str, event: Event) -> None:
        """Keeps a proof with its text, as long as no other shop stands behind it."""
        self._by_text[text] = event
        if len(self._by_text) > MOST_TEXTS:
            del self._by_text[next(iter(self._by_text))]

    def ask(self, opened: Open) -> None:
        """Asks for the proof of a version, once; tells a proof that is known."""
        document = opened.document
        if opened.asked[0] == document.version:
            return
        opened.asked = document.version, document.text
        if known := self.of(document):
            self._events.tell(known)
        else:
            self.proving.submit(document.name, document.version, document.text)

    def of(self, document: Document) -> Event | None:
        """The proof of a document as it is now, as pages are told of it."""
        text, event = self._proofs.get(document.name, ("", {}))
        return {**event, "version": document.version} if event and text == document.text else None

    def hear(self, event: Event, opened: Open | None) -> Event:
        """Takes in a proof of a recipe that is `opened`, if it still is; the same with the address of its solid."""
        name, version = event["name"], event["version"]
        event = {**event, "model_at": f"api/model/{quote(name)}/{version}"}
        if opened and opened.asked[0] == version:
            self._proofs[name] = opened.asked[1], event
            self._found.add(opened.asked[1], event["proof"])
        with self._kept_ones:
            number, text = self._asked.get(name, (0, ""))
            if opened and opened.asked[0] == version:
                self._remember(opened.asked[1], event)
            elif number == version:
                self._remember(text, event)
        return event

    def mark(self, record: dict[str, Any], text: str | None) -> None:
        """Says on the shelf's record of a recipe what its proof has found, as far as that is known."""
        if record["state"] == NOT_PROVED and text is not None and (proof := self._found.of(text)):
            record["state"] = STATES[proof[0]]
            record["why"] = proof[1] if record["state"] == FAILS else ""

    def model(self, name: str, version: int, opened: Open | None) -> str | None:
        """The solid of a version, as the page's drawing of it reads it; None where it is not there, as a newer one may
        be. Solids are kept of a few pieces only: where that of the proof of a recipe that is `opened` has gone, it is
        proved anew."""
        found = self.proving.model(name, version)
        if found is not None:
            return found
        _, event = self._proofs.get(name, ("", {}))
        if opened and event.get("version") == version and self.of(opened.document):
            self.outdate(name)
            opened.asked = (0, "")
            self.ask(opened)
        return None

    def forget(self, name: str) -> None:
        """Lets go of a recipe."""
        self.outdate(name)
        self.proving.forget(name)

    def outdate(self, name: str) -> None:
        """The proof of a recipe counts no more, though its text is the same."""
        self._proofs.pop(name, None)

    def use(self, shop: Shop) -> None:
        """Goes by another shop."""
        self._found.use(shop)
        with self._kept_ones:
            self._by_text, self._asked = {}, {}

    def keep(self, now: float) -> None:
        """Puts on disk what was found, now and then."""
        if now - self._kept > KEEP:
            self._kept = now
            self._found.save()

    def close(self) -> None:
        """Ends."""
        self._found.save()
        self.proving.close()
