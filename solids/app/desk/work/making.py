"""Files from the page: the same code, folder and bytes as from the command line, in a process that can be stopped."""

from __future__ import annotations

import io
import itertools
import json
import threading
import zipfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from solids.app.desk.work.helper import Helper, HelperEndedError
from solids.base import tolerances as tol
from solids.base.errors import FileError, InputError
from solids.layout.assembly import assembly_of
from solids.recipe.completing.shop import NO_SHOP, Shop
from solids.write.named import GROUPS, group_of
from solids.write.publishing.stale import has_changed, keys_of_others

if TYPE_CHECKING:
    from solids.app.desk.hands import Plan

REPORT = "report.json"

STOPPED = "Stopped. The folder holds either all of its old files or all of its new ones."
ENDED = "The process that makes the files has ended. The old files are still there; try again."

EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The time of every file in an archive, so that the same files make the same archive: the first that the format
knows."""

Tell = Callable[[dict[str, Any]], None]


@dataclass
class _Work:
    name: str
    helper: Helper
    stopped: bool = False


class Making:
    """Makes files of pieces into folders of `out`, each piece in a process of its own."""

    def __init__(self, out: Path, shop: Shop = NO_SHOP) -> None:
        self.out, self.shop = out, shop
        self._works: dict[str, _Work] = {}
        self._numbers = itertools.count(1)
        self._lock = threading.Lock()

    def start(self, name: str, text: str, wanted: Sequence[str], tell: Tell) -> str:
        """Begins to make some groups of files of a recipe, and returns an id. `tell` is called from another thread with
        each event for the page: how far it is, and then that all is made, that it was stopped, or what went wrong.
        InputError where nothing that can be made is wanted, or the piece is being made already."""
        if not wanted or set(wanted) - set(GROUPS):
            raise InputError(f"tick at least one of {', '.join(GROUPS)}")
        with self._lock:
            if any(work.name == name for work in self._works.values()):
                raise InputError("its files are being made already; wait, or stop that first")
            number = str(next(self._numbers))
            self._works[number] = work = _Work(name, Helper())
        request = {
            "task": "make",
            "text": text,
            "wanted": list(wanted),
            "out": str(self.out),
            "shop": dict(self.shop.tables) or None,
        }
        threading.Thread(target=self._run, args=(number, work, request, tell), daemon=True, name="making").start()
        return number

    def stop(self, number: str) -> None:
        """Stops what is being made. Old files stay. InputError where nothing of that id is being made."""
        with self._lock:
            work = self._works.get(number)
            if work is None:
                raise InputError("nothing of this kind is being made any more")
            work.stopped = True
        work.helper.stop()

    def close(self) -> None:
        """Stops all."""
        with self._lock:
            works = list(self._works.values())
        for work in works:
            work.stopped = True
            work.helper.stop()

    def _run(self, number: str, work: _Work, request: dict[str, Any], tell: Tell) -> None:
        about = {"id": number, "name": work.name}
        last: dict[str, Any] = {"result": "trouble", "words": ENDED}
        try:
            for line in work.helper.ask(request):
                if "result" in line:
                    last = line
                else:
                    tell({"event": "making", **about, **line})
        except HelperEndedError:
            if work.stopped:
                last = {"result": "stopped", "words": STOPPED}
        finally:
            work.helper.close()
            with self._lock:
                self._works.pop(number, None)
        tell({"event": "made", **about, "words": "", **last})


# --- what was made -------------------------------------------------------------------------------


def made_in(folder: Path, now: Plan | None) -> list[dict[str, Any]]:
    """The files that a piece's folder holds by its own report, with what each holds, and the report; none where there
    is no such folder. `stale` are those that the piece as it is `now` would not give, and all where it cannot be laid
    out. FileError where the report cannot be read."""
    path = folder / REPORT
    try:
        report = _read(path)
        named = [(str(one["name"]), str(one["holds"]), bool(one["stale"])) for one in report["files"]]
        is_old = _out_of_date(report, now)
    except FileNotFoundError:
        return []
    except (ValueError, KeyError, TypeError, RecursionError):
        raise FileError(f"{path} is not a report of this tool. Move it away, and make the files again") from None
    found = [
        {"name": name, "words": holds, "stale": was_stale or is_old(name)}
        for name, holds, was_stale in named
        if _inside(folder, name)
    ]
    return [*found, {"name": REPORT, "words": "every number, for programs", "stale": is_old(REPORT)}]


def _read(path: Path) -> dict[str, Any]:
    """A report as it stands. FileNotFoundError where there is none."""
    if path.is_symlink() or (path.exists() and not path.is_file()):
        raise FileError(f"{path} is not an ordinary file. Move it away, and make the files again")
    if path.stat().st_size > tol.REPORT_LARGEST_BYTES:
        raise FileError(f"{path} is far larger than a report; is it ours?")
    return dict(json.loads(path.read_bytes()))


def _out_of_date(report: Mapping[str, Any], now: Plan | None) -> Callable[[str], bool]:
    """What tells by its name whether a file would come out otherwise now."""
    if now is None:
        return lambda _: True
    from solids.write.report import piece_report

    plain = piece_report(assembly_of(now)).model_dump(mode="json", by_alias=True)
    before, after = report["recipe"], plain["recipe"]
    if report["tool"] != plain["tool"]:
        return lambda _: True

    def is_old(name: str) -> bool:
        group = group_of(name)
        return has_changed(before, after, keys_of_others(group, name) if group else ())

    return is_old


def made_file(folder: Path, name: str) -> Path:
    """One of those files. FileError where it is not among them."""
    if name not in [one["name"] for one in made_in(folder, None)]:
        raise FileError(f"{name[:80]} is not among the files that were made here")
    return folder / name


def _inside(folder: Path, name: str) -> bool:
    """Whether a file is there, in the folder itself or below, and is no link out of it."""
    path = folder / name
    return path.is_file() and path.resolve().is_relative_to(folder.resolve())


def archive_of(folder: Path) -> bytes:
    """All of them as one ZIP archive, in a folder of the piece's name; the same files give the same bytes."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        for one in made_in(folder, None):
            entry = zipfile.ZipInfo(f"{folder.name}/{one['name']}", EARLIEST)
            entry.compress_type, entry.external_attr = zipfile.ZIP_DEFLATED, 0o644 << 16
            archive.writestr(entry, (folder / str(one["name"])).read_bytes())
    return target.getvalue()
