"""Loading the geometry kernel, which takes most of a second, as fast as it goes."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager

from solids.base.signals import signals_wait

KERNEL = "solids.model.kernel"


@contextmanager
def _bound_when_called() -> Iterator[None]:
    """The kernel's libraries name a great many functions, of which a run calls few. The system looks each up at its
    first call, as it does for programs, and not all of them at once."""
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
    """Loading the kernel makes a great many objects that live as long as the process. Looking through them for garbage,
    then and at each later collection, costs a sixth of the load time and finds none. Ctrl-C waits: in the middle of
    loading it comes out as a failed import. Does nothing where the kernel is there already."""
    if KERNEL in sys.modules:
        yield
        return
    gc.disable()
    try:
        with signals_wait(), _bound_when_called():
            yield
    finally:
        gc.freeze()
        gc.enable()
