"""The way out from the page, for a maker who has no terminal before them. It is the one that Ctrl-C takes."""

from __future__ import annotations

import signal
import threading
from typing import TYPE_CHECKING

from solids.base.errors import FileError

if TYPE_CHECKING:
    from solids.app.desk.sitting import Sitting

FAREWELL_S = 0.3
"""How long the answer, and the news for other pages, have to get there before the server goes."""


def end(sitting: Sitting) -> dict[str, str]:
    """Saves all, tells every page, and ends the bench. FileError where something cannot be saved: it then stays."""
    sitting.put_on_shelf(lambda _: "")  # whatever is done there, all is saved first
    if lost := sitting.unsaved():
        raise FileError(f"the bench stays open, as the last changes are not on disk: {'; '.join(lost)}")
    sitting.events.tell({"event": "ended"})
    going = threading.Timer(FAREWELL_S, signal.raise_signal, (signal.SIGINT,))
    going.daemon = True
    going.start()
    return {}
