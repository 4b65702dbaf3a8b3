"""Plain stand-ins for what others do behind the page's server: they read and lay out for real, and prove nothing."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from solids.app.desk.hands import Hands
from solids.app.desk.piece.work import work_of
from solids.app.desk.serving.routes import application
from solids.app.desk.serving.server import Guard
from solids.app.desk.serving.start import while_it_runs
from solids.app.desk.sitting import Sitting
from solids.base.errors import FileError, InputError, RecipeError, Told
from solids.layout import Layout
from solids.layout.plan import laid_out
from solids.recipe.completing.shop import NO_SHOP, Shop
from solids.recipe.text.toml import parse_toml

TRAY = """\
# my tray
title = "tool tray"

[joint]
width = 96  # as the drawer
tails = 4

[tail_board]
thickness = 10
wood = "cherry"

[pin_board]
thickness = 12
wood = "maple"
"""


@dataclass(frozen=True)
class Reading:
    tables: dict[str, Any] | None
    plan: Any
    problems: tuple[Told, ...]
    text: str


def read(text: str, live: bool, shop: Shop = NO_SHOP) -> Reading:
    try:
        tables = parse_toml(text, "the recipe")
    except InputError as err:
        return Reading(None, None, (Told("", str(err), "mend it"),), text)
    try:
        return Reading(tables, laid_out(tables, (), shop), (), text)
    except RecipeError as err:
        return Reading(tables, None, err.told, text)


def state_of(reading: Reading, good: Layout | None) -> dict[str, Any]:
    plan = reading.plan or good
    shapes = [{"kind": "wood", "points": [[0, 0], [96, 0], [96, 22], [0, 22]], "closed": True, "words": ""}]
    return {
        "title": plan.recipe.title if plan else "",
        "text": reading.text,
        "tails": len(plan.tails) if isinstance(plan, Layout) else None,
        "good": reading.plan is not None,
        "problems": [{"key": one.key, "wrong": one.wrong, "accepted": one.remedy} for one in reading.problems],
        "drawings": {"face": {"width": 96, "height": 22, "shapes": shapes}},
    }


def moved(tables: Mapping[str, Any], plan: Layout, handle: str, by_mm: float) -> dict[str, Any]:
    if handle != "baseline":
        raise InputError(f"{handle} is nothing that can be moved here")
    return {"pin_board.thickness": plan.recipe.pin_board.thickness + by_mm}


@dataclass
class Proving:
    """Proves at once that all is well, or not at all while it is `held`."""

    tell: Callable[[dict[str, Any]], None]
    asked: list[tuple[str, int]] = field(default_factory=list)
    held: bool = False
    models: dict[tuple[str, int], str] = field(default_factory=dict)
    is_closed: bool = False

    def submit(self, name: str, version: int, _text: str) -> None:
        self.asked.append((name, version))
        self.models[name, version] = "{}"
        if not self.held:
            proof = {"line": "It goes together.", "severity": "pass", "findings": []}
            self.tell({"event": "proof", "name": name, "version": version, "proof": proof})

    def model(self, name: str, version: int) -> str | None:
        return self.models.get((name, version))

    def forget(self, name: str) -> None:
        pass

    def close(self) -> None:
        self.is_closed = True


@dataclass
class Making:
    """Makes one file, that says what was wanted."""

    out: Path

    def start(self, _name: str, _text: str, wanted: Sequence[str], tell: Callable[[dict[str, Any]], None]) -> str:
        folder = self.out / "tool-tray"
        (folder / "boards").mkdir(parents=True, exist_ok=True)
        (folder / "booklet.pdf").write_text(" ".join(wanted))
        (folder / "boards" / "tail-board.stl").write_text("solid")
        (folder / "corner.html").write_text("<p>hello</p>")
        tell({"event": "made", "id": "1", "words": ""})
        return "1"

    def stop(self, _number: str) -> None:
        raise InputError("nothing of this kind is being made any more")

    def close(self) -> None:
        pass


def made_in(folder: Path, _now: Any) -> list[dict[str, Any]]:
    files = [path for path in sorted(folder.rglob("*")) if path.is_file()]
    return [{"name": path.relative_to(folder).as_posix(), "words": "", "stale": False} for path in files]


def made_file(folder: Path, name: str) -> Path:
    if name not in [one["name"] for one in made_in(folder, None)]:
        raise FileError(f"{name} is not among the files that were made here")
    return folder / name


def hands_of(shop: Shop, out: Path, tell: Callable[[dict[str, Any]], None]) -> Hands:
    held = [shop]

    def use_shop(other: Shop) -> None:
        held[0] = other

    def read_so(text: str, live: bool) -> Reading:
        return read(text, live, held[0])

    files = (made_in, made_file, lambda _: b"PK")
    return Hands(read_so, state_of, moved, Proving(tell), Making(out), *files, work_of, use_shop)


KEY, PORT = "the-key", 4711
BASE = f"http://127.0.0.1:{PORT}/{KEY}/"


def sitting_in(folder: Path) -> Sitting:
    return Sitting(folder, NO_SHOP, hands_of)


@contextmanager
def page(folder: Path, sitting: Sitting | None = None) -> Iterator[TestClient]:
    """A page of the bench over a folder, with its watch over the folder."""
    sitting = sitting or sitting_in(folder)
    guard = Guard(application(sitting, while_it_runs(sitting)), KEY, PORT, "ticket")
    with TestClient(guard, base_url=BASE, follow_redirects=False) as client:
        yield client


def tray(folder: Path, name: str = "tool-tray", text: str = TRAY) -> Path:
    path = folder / f"{name}.toml"
    path.write_text(text, encoding="utf-8", newline="")
    return path


def waited(what: Callable[[], Any], longest: float = 10.0) -> Any:
    """The first true answer, within so many seconds."""
    latest = time.monotonic() + longest
    while not (found := what()):
        assert time.monotonic() < latest, "it did not happen"
        time.sleep(0.02)
    return found
