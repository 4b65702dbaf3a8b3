"""How files are made whose libraries load where one is asked for."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from solids.write.named import Made


def on_demand(load: Callable[[], Made]) -> Made:
    """What `load` gives, loaded when a file is made or read back."""

    def make(*of: Any) -> bytes:
        return load()[0](*of)

    def reread(path: Path, *of: Any) -> None:
        load()[1](path, *of)

    return make, reread
