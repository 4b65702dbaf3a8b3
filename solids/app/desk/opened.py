"""A recipe that is open: its document, what was read of it, and when it is time to save and to prove it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from solids.app.desk.document import Document
    from solids.app.desk.hands import Plan, Reading

RESTED, LONGEST_UNSAVED = 0.15, 0.7
"""How long a handle must stand still before its change is saved and proved, and the longest that a change waits for
the disk (s). A disk that refuses is tried again so often too."""

MOVED_ON = 5.0
"""After how long a movement that nobody ended is over (s)."""


@dataclass
class Open:
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

    def reading_by(self, read: Callable[[str, bool], Reading]) -> Reading:
        """What the text means, read again only where it has changed, or where more is to be said of it."""
        document = self.document
        version, was_live = self.read
        if self.reading is None or version != document.version or was_live > document.is_moving:
            self.keep(read(document.text, document.is_moving), document.is_moving)
        assert self.reading is not None
        return self.reading

    def keep(self, reading: Reading, live: bool) -> None:
        """Keeps what was read of the text as it is now."""
        self.reading, self.read = reading, (self.document.version, live)
        self.good = reading.plan or self.good

    def is_due(self, now: float) -> bool:
        """Whether it is time to save."""
        has_rested = self.has_rested(now) and self.tried < self.changed
        return self.document.is_waiting and (has_rested or now - self.tried > LONGEST_UNSAVED)

    def has_rested(self, now: float) -> bool:
        """Whether it stands still by now."""
        return now - self.changed > RESTED

    def has_moved_on(self, now: float) -> bool:
        """Whether a movement is over although nobody has said so."""
        return self.document.is_moving and now - self.changed > MOVED_ON
