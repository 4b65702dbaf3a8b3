"""The work on one joint of a batch: proves it, makes its files, reports both. It runs in local processes or on a
cluster, and leaves nothing behind but the value it returns."""

from __future__ import annotations

import gc
import importlib
import json
import os
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, cast

from solids.app.batch.tasks import Task, tables_of
from solids.base.errors import HalfpinError, RecipeError
from solids.base.scratch import scratch
from solids.recipe.completing.shop import NO_SHOP, Shop
from solids.recipe.text.shop_file import shop_of

if TYPE_CHECKING:
    from solids.write.files.table import Job
    from solids.write.named import Group

Verdict = Literal["passes", "fails", "refused", "crashed", "too slow"]


@dataclass(frozen=True)
class Outcome:
    """The outcome of one task: its verdict, what the index shows of it, and its files by name."""

    origin: str
    title: str
    slug: str
    key: str
    verdict: Verdict
    message: str = ""
    warnings: tuple[str, ...] = ()
    size: Mapping[str, Any] = field(default_factory=dict)
    seconds: float = 0.0
    files: Mapping[str, bytes] = field(default_factory=dict)


def load_kernel() -> None:
    """Loads the kernel and the file writers. A worker calls this once, at its start. Nothing loaded is ever garbage."""
    gc.disable()
    importlib.import_module("solids.write.files.table")
    gc.freeze()
    gc.set_threshold(50_000, 20, 100)
    gc.enable()


def outcome_of(task: Task, verdict: Verdict, message: str) -> Outcome:
    """The outcome of a task that was not worked on, or not to its end."""
    return Outcome(task.origin, task.title, task.slug, task.key, verdict, message)


def do_task(task: Task, check_only: bool, anyway: bool) -> Outcome:
    """Proves one joint. Makes its files if they are wanted and it passes, or if `anyway` is set."""
    begun = time.perf_counter()
    if task.wrong:
        return outcome_of(task, "refused", task.wrong)
    try:
        result = _prove_and_make(task, check_only, anyway)
    except RecipeError as err:
        return outcome_of(task, "refused", "; ".join(map(str, err.told)))
    except HalfpinError as err:
        return outcome_of(task, "refused" if not isinstance(err, RuntimeError) else "crashed", str(err))
    except Exception as err:
        return outcome_of(task, "crashed", f"{type(err).__name__}: {str(err)[:300]}")
    passes, warnings, size, files, message = result
    return Outcome(
        origin=task.origin,
        title=task.title,
        slug=task.slug,
        key=task.key,
        verdict="passes" if passes else "fails",
        message=message,
        warnings=warnings,
        size=size,
        seconds=time.perf_counter() - begun,
        files=files,
    )


Result = tuple[bool, tuple[str, ...], dict[str, Any], dict[str, bytes], str]


def _prove_and_make(task: Task, check_only: bool, anyway: bool) -> Result:
    from solids.layout.joint.shape.slopes import all_slopes
    from solids.layout.plan import plan_of
    from solids.write.files.table import prove_layout, write_files

    job = prove_layout(plan_of(tables_of(task), shop=_shop_in(task.shop)))
    layout = job.joints[0].layout
    recipe = layout.recipe
    size = {
        "kind": recipe.kind if job.piece == "corner" else job.piece,
        "tails": len(layout.tails),
        "slope": all_slopes(layout),
        "width_mm": max(joint.layout.width for joint in job.joints),
        "tail_board_mm": recipe.tail_board.thickness,
        "pin_board_mm": recipe.pin_board.thickness,
        "units": recipe.units,
        **_in_opening(job),
    }
    files: dict[str, bytes] = {}
    if not check_only and (job.proof.passes or anyway):
        # Written and read back in a scratch folder, in memory if possible. The caller puts them on a real disk.
        with scratch() as folder:
            files = _contents(
                write_files(job, folder, groups=cast("tuple[Group, ...]", task.groups), only=task.files).folder
            )
    return _result(job.proof.passes, job.proof.findings, size, files)


def _in_opening(job: Job) -> dict[str, float]:
    """The opening of a drawer and the room that it has there, by the index's columns; nothing for any other piece."""
    from solids.layout.box.opening import lip_covers, room_in

    box = job.proof.assembly.box
    opening = box.recipe.opening if box else None
    if box is None or opening is None:
        return {}
    room, covers = room_in(box, opening), lip_covers(box, opening)
    found = {
        "opening_width_mm": opening.width,
        "opening_height_mm": opening.height,
        "opening_depth_mm": opening.depth,
        "free_damp_mm": room.damp,
        "free_dry_mm": room.dry,
        "free_sides_mm": room.sides,
        "free_behind_damp_mm": room.behind_damp,
    }
    return found | ({"lip_covers_mm": min(covers.values())} if covers else {})


def _result(passes: bool, findings: Any, size: dict[str, Any], files: dict[str, bytes]) -> Result:
    warnings = tuple(finding.said for finding in findings if finding.severity == "warning")
    failing = " ".join(finding.said for finding in findings if finding.severity == "fail")
    return passes, warnings, size, files, failing


def _contents(folder: Path) -> dict[str, bytes]:
    """The contents of every file in a folder, by its path relative to the folder."""
    found = {}
    for place, _, names in os.walk(folder):
        for name in names:
            path = Path(place) / name
            found[path.relative_to(folder).as_posix()] = path.read_bytes()
    return found


@cache
def _shop_in(settings: str) -> Shop:
    """The shop of a task, read once for all tasks of a worker."""
    return shop_of(json.loads(settings)) if settings else NO_SHOP
