"""The maker's own shop on the page: its file, open beside the recipes, a control for every setting, and the last shop
that could be read, which stands behind the recipes.

The command line reads the same file. So a change that would leave it unreadable is not written: what was typed is held
on the page, with what is wrong, until it can be.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from solids.app.desk.document import Document, with_changes
from solids.app.desk.keys import WOODS, shop_controls, wood_controls
from solids.app.desk.piece.values import values_at
from solids.app.desk.shop.settings import (
    OF_A_WOOD,
    is_plain,
    is_within,
    place_of,
    sample_for,
    sizes_with_units,
    values_typed,
)
from solids.base.errors import FileError, InputError, RecipeError, Told
from solids.recipe.completing.shop import NO_SHOP, Shop
from solids.recipe.text.problems import units_in
from solids.recipe.text.shop_file import settings_in, settings_text, shop_keys
from solids.recipe.text.toml import Raw, parse_toml

if TYPE_CHECKING:
    from solids.app.desk.sitting import Sitting

LOOK = 0.5
"""How often it is looked whether another program has changed the file (s)."""

BROKEN = "My shop cannot be read as it stands, so {}."
STANDS, WITHOUT = "pieces go by it as it was last", "pieces go without it"
LEFT_OUT = "The bench was started without your shop. You can change it here, but no piece goes by it now."
HELD = "What is marked is not saved yet."
NOT_KEPT = "{} in My shop: {}"
IN_UNITS = {
    "mm": "Plain numbers are millimetres now, here and in recipes that name no unit. The sizes here are as they were.",
    "in": "Plain numbers are inches now, here and in recipes that name no unit. The sizes here are as they were.",
}


@dataclass(frozen=True)
class _Reading:
    """A text as it was understood: `tables` is None where it is no TOML, `shop` where it has `problems`."""

    tables: Raw | None
    shop: Shop | None = None
    problems: tuple[Told, ...] = ()


def _read(text: str, name: str) -> _Reading:
    try:
        tables = parse_toml(text, name)
    except InputError as err:
        return _Reading(None, None, (Told("", str(err), "mend the file, or undo"),))
    return _checked(tables)


def _checked(tables: Raw) -> _Reading:
    try:
        return _Reading(tables, settings_in(tables))
    except RecipeError as err:
        return _Reading(tables, None, err.told)


def _text_or_empty(path: Path) -> str:
    """The text of the file; that of one which is not there yet is empty."""
    return settings_text(path) or ""


class OwnShop:
    """The shop of the one who sits at the bench. `shop` is the last that could be read. Every method may be called from
    any thread; no lock of the sitting may be held."""

    def __init__(self, path: Path, *, is_used: bool = True, clock: Callable[[], float] = time.monotonic) -> None:
        """Opens the file, which need not be there. Where not `is_used`, recipes are left alone."""
        self.path, self.is_used, self.shop = path, is_used, NO_SHOP
        self._clock, self._looked = clock, 0.0
        self._lock = threading.RLock()
        self._document: Document | None = None
        self._held: dict[str, Any] = {}
        self._why = ""
        self._version, self._reading = 0, _Reading({})
        self._was_read = False
        self._sitting: Sitting | None = None
        self._look()

    def begin(self, sitting: Sitting) -> None:
        """Goes with a sitting."""
        self._sitting, sitting.own_shop = sitting, self
        sitting.events.first = lambda: [self._news()]

    # --- what the page shows

    def state(self) -> dict[str, Any]:
        """What the page shows of the shop."""
        with self._lock:
            self._look()
            document, reading = self._document, self._reading
            tables, wrong = self._with_what_is_held(), reading.problems
            if self._held:
                wrong = _checked(tables).problems
            return {
                "file": str(self.path),
                "is_there": self.path.exists(),
                "note": "" if self.is_used else LEFT_OUT,
                "good": not reading.problems and not self._why,
                "units": units_in(tables),
                "version": document.version if document else 0,
                "can_undo": bool(document and document.can_undo),
                "can_redo": bool(document and document.can_redo),
                "changed": list(document.changed) if document else [],
                "unsaved": self._why or (document.unsaved if document else "") or (HELD if self._held else ""),
                "can_change": document is not None and reading.tables is not None,
                **self._shown(tables, wrong),
            }

    def controls(self) -> dict[str, Any]:
        """What the page makes its controls from."""
        return {"keys": shop_controls(self.shop), "wood": wood_controls()}

    def _shown(self, tables: Raw, wrong: Iterable[Told]) -> dict[str, Any]:
        woods = tables.get(WOODS)
        names = sorted(name for name in woods if is_plain(name)) if isinstance(woods, dict) else []
        parts = [f"{WOODS}.{name}.{part}" for name in names for part in OF_A_WOOD]
        keys = [*(key for key in shop_keys() if key != WOODS), *(f"{WOODS}.{name}" for name in names), *parts]
        placed = [(place_of(told.key, keys), told) for told in wrong]
        known = [replace(told, key=key) for key, told in placed if key]
        return {
            "keys": values_at(keys, tables, sample_for(self.shop), known),
            "woods": names,
            "problems": [{"wrong": told.wrong, "accepted": told.remedy} for key, told in placed if not key],
        }

    def _news(self) -> dict[str, Any]:
        """What every page is told of it: its version, and `words` where it cannot be used."""
        words = ""
        if self.is_used and (self._why or self._reading.problems):
            words = BROKEN.format(STANDS if self._was_read else WITHOUT)
        return {"event": "shop", "version": self._document.version if self._document else 0, "words": words}

    # --- what is done with it; each gives the state then

    def set(self, typed: Mapping[str, Any]) -> dict[str, Any]:
        """Changes settings, as they were typed. RecipeError where there are no such settings."""
        values = values_typed(typed)
        with self._lock:
            units = units_in(self._reading.tables or {})
            found = self._change(lambda document: self._put(document, values))
            return {**found, "told": IN_UNITS[found["units"]] if found["units"] != units else ""}

    def _put(self, document: Document, values: Mapping[str, Any]) -> None:
        """Writes what can be written of the new values and of those that are held, and holds the rest."""
        before = self._reading
        if before.tables is None:
            raise InputError(str(before.problems[0].wrong))
        held = {**self._held, **values}
        wanted = dict(held)
        if "units" in values:
            wanted = dict(sizes_with_units(before.tables, values["units"] or "mm")) | wanted
        while wanted:
            text = with_changes(document.text, wanted, document.path.name)
            new = [told.key for told in _read(text, document.path.name).problems if told not in before.problems]
            if not new:
                document.put(text, wanted, live=False)
                break
            at_fault = {key for key in wanted for other in new if is_within(other, key) or is_within(key, other)}
            wanted = {key: value for key, value in wanted.items() if at_fault and key not in at_fault}
        self._held = {key: value for key, value in held.items() if key not in wanted}

    def undo(self) -> dict[str, Any]:
        """Takes the last change back."""
        return self._change(lambda document: self._step(document.undo))

    def redo(self) -> dict[str, Any]:
        """Makes it again."""
        return self._change(lambda document: self._step(document.redo))

    def _step(self, step: Callable[[], None]) -> None:
        self._held = {}
        step()

    def _change(self, work: Callable[[Document], None]) -> dict[str, Any]:
        with self._lock:
            self._look()
            if self._document is None:
                raise FileError(self._why)
            work(self._document)
            self._took()
            return self.state()

    # --- what happens by itself

    def tick(self) -> None:
        """Takes in what another program has changed, and saves what could not be saved before."""
        if self._clock() - self._looked > LOOK:
            with self._lock:
                self._looked = self._clock()
                self._look()

    def unsaved(self) -> list[str]:
        """Why something is not on disk, where that is so: the file itself, or a setting that cannot be as it was
        typed."""
        with self._lock:
            document = self._document
            waiting = [document.unsaved] if document and document.is_waiting else []
            wrong = _checked(self._with_what_is_held()).problems if self._held else ()
            return [*waiting, *(NOT_KEPT.format(told.key, told.wrong) for told in wrong)]

    def _look(self) -> None:
        """Takes in what is on disk; a file that could not be opened is tried again."""
        before = self._why
        try:
            if self._document is None:
                self._document = Document(self.path, _text_or_empty)
            elif self._document.is_waiting:
                self._document.save()
            else:
                self._document.take_in()
            self._why = "" if self._document.is_waiting else self._document.unsaved
        except FileError as err:
            self._why = str(err)
        if self._why != before:
            self._tell()
        self._took()

    def _took(self) -> None:
        """Reads a text that has changed, and hands on a shop that has."""
        document = self._document
        if document is None or document.version == self._version:
            return
        self._version, self._reading = document.version, _read(document.text, document.path.name)
        new = self._reading.shop
        if new is not None:
            self._was_read = True
            if new != self.shop:
                self.shop = new
                if self._sitting and self.is_used:
                    self._sitting.use_shop(new, document.changed)
        self._tell()

    def _tell(self) -> None:
        if self._sitting:
            self._sitting.events.tell(self._news())

    def _with_what_is_held(self) -> Raw:
        tables, document = self._reading.tables or {}, self._document
        with suppress(InputError):  # another program may have left no place for it
            if document and self._held:
                return parse_toml(with_changes(document.text, self._held, ""), "")
        return tables
