"""Loads ezdxf so that it reads no settings, and no list of fonts but ours. Nothing else imports it.

By default it reads `ezdxf.ini` in the current folder, where a stranger's may lie, and the user's own. It also reads a
list of fonts from the user's cache, which it writes after a search through all fonts of the system where there is none,
and it fails where either is broken. It uses fonts to measure the words over dimensions. With our one font alone, a
drawing is the same on every machine.
"""

from __future__ import annotations

import json
import logging
import os
from collections.abc import Iterator
from configparser import ConfigParser
from contextlib import contextmanager
from typing import Any

from solids.base.fonts import PLAIN_FILE, font_file
from solids.base.scratch import scratch

__all__ = ["Drawing", "Modelspace", "TextEntityAlignment", "ezdxf", "options", "units"]

CACHE_HOME = "XDG_CACHE_HOME"
FONTS = {"version": 2, "font-faces": [[str(font_file(PLAIN_FILE)), "Roboto", "Regular", 400, 5]]}
"""The list of fonts as ezdxf 1.4 keeps it: file, family, style, weight and width."""


@contextmanager
def _alone() -> Iterator[None]:
    """Hides settings files from ezdxf while it loads, and gives it our list of fonts."""
    read: Any = ConfigParser.read
    before = os.environ.get(CACHE_HOME)
    with scratch() as folder:
        (folder / "ezdxf").mkdir()
        (folder / "ezdxf" / "font_manager_cache.json").write_text(json.dumps(FONTS), "utf-8")
        try:
            ConfigParser.read = lambda *_, **__: []  # type: ignore[method-assign]
            os.environ[CACHE_HOME] = str(folder)
            yield
        finally:
            ConfigParser.read = read  # type: ignore[method-assign]
            os.environ.pop(CACHE_HOME, None)
            if before is not None:
                os.environ[CACHE_HOME] = before


with _alone():
    import ezdxf
    from ezdxf import options, units
    from ezdxf.document import Drawing
    from ezdxf.enums import TextEntityAlignment
    from ezdxf.layouts import Modelspace

# What it remarks on in passing, such as that R12 has no setting for a unit, is not for makers. Without a handler of its
# own, Python would print it. Our files are judged by its audit.
logging.getLogger("ezdxf").addHandler(logging.NullHandler())
