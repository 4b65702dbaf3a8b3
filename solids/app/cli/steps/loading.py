"""Loads the geometry kernel, which takes most of a second, as fast as possible."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager

from solids.base.signals import signals_wait

KERNEL = "solids.model.kernel"


@contextmanager
def _lazy_binding() -> Iterator[None]:
    """Has the system look up each library function at its first call, as it does for programs. The kernel's libraries
    refer to a great many functions, and a run calls only a few."""
    if sys.platform == "win32":
        yield
        return
    flags = sys.getdlopenflags()
    sys.setdlopenflags(os.RTLD_LAZY)
    try:
        yield
    finally:
        sys.setdlopenflags(flags)


@contextmanager
def kernel_loading() -> Iterator[None]:
    """Turns garbage collection off while the kernel loads, and keeps what was loaded out of later collections: it lives
    as long as the process, and searching it costs a sixth of the load time. Ctrl-C waits, as in the middle of loading
    it would show up as a failed import. Does nothing if the kernel is already loaded."""
    if KERNEL in sys.modules:
        yield
        return
    gc.disable()
    try:
        with signals_wait(), _lazy_binding():
            yield
    finally:
        gc.freeze()
        gc.enable()
