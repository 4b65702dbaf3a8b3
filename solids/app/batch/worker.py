"""What a worker does with one joint: proof, files, and an account of both. It runs in processes here and on a cluster's
machines alike: what it returns is all that it leaves behind."""

from __future__ import annotations

import gc
import importlib
import os
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, cast

from solids.app.batch.tasks import Task, tables_of
from solids.base.errors import HalfpinError, RecipeError
from solids.base.scratch import scratch

if TYPE_CHECKING:
    from solids.write.named import Group

Verdict = Literal["passes", "fails", "refused", "crashed", "too slow"]


@dataclass(frozen=True)
class Outcome:
    """What came of one task: the verdict, what a list of joints shows of it, and its files by name."""

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
    """What a worker does once, when it starts: loads the kernel and what writes files. None of it is ever garbage."""
    gc.disable()
    importlib.import_module("solids.write.files.table")
    gc.freeze()
    gc.set_threshold(50_000, 20, 100)
    gc.enable()


def outcome_of(task: Task, verdict: Verdict, message: str) -> Outcome:
    """An outcome without any work done."""
    return Outcome(task.origin, task.title, task.slug, task.key, verdict, message)


def do_task(task: Task, check_only: bool, anyway: bool) -> Outcome:
    """Proves one joint, and makes its files where they are wanted and it passes."""
    begun = time.perf_counter()
    if task.wrong:
        return outcome_of(task, "refused", task.wrong)
    try:
        done = _made(task, check_only, anyway)
    except RecipeError as err:
        return outcome_of(task, "refused", "; ".join(map(str, err.told)))
    except HalfpinError as err:
        return outcome_of(task, "refused" if not isinstance(err, RuntimeError) else "crashed", str(err))
    except Exception as err:
        return outcome_of(task, "crashed", f"{type(err).__name__}: {str(err)[:300]}")
    passes, warnings, size, files, message = done
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


Done = tuple[bool, tuple[str, ...], dict[str, Any], dict[str, bytes], str]


def _made(task: Task, check_only: bool, anyway: bool) -> Done:
    from solids.layout.plan import plan_of
    from solids.write.files.table import prove_layout, write_files

    job = prove_layout(plan_of(tables_of(task)))
    layout = job.joints[0].layout
    recipe = layout.recipe
    size = {
        "kind": recipe.kind if job.piece == "corner" else job.piece,
        "tails": len(layout.tails),
        "slope": f"1:{layout.ratio:.4g}",
        "width_mm": max(joint.layout.width for joint in job.joints),
        "tail_board_mm": recipe.tail_board.thickness,
        "pin_board_mm": recipe.pin_board.thickness,
    }
    files: dict[str, bytes] = {}
    if not check_only and (job.proof.passes or anyway):
        # Read back where they are made, in memory if there is such a place; who asked puts them on a real disk.
        with scratch() as folder:
            files = _read(
                write_files(job, folder, groups=cast("tuple[Group, ...]", task.groups), only=task.files).folder
            )
    return _done(job.proof.passes, job.proof.findings, size, files)


def _done(passes: bool, findings: Any, size: dict[str, Any], files: dict[str, bytes]) -> Done:
    warnings = tuple(finding.said for finding in findings if finding.severity == "warning")
    failing = " ".join(finding.said for finding in findings if finding.severity == "fail")
    return passes, warnings, size, files, failing


def _read(folder: Path) -> dict[str, bytes]:
    """Every file of a folder by its name below it."""
    found = {}
    for place, _, names in os.walk(folder):
        for name in names:
            path = Path(place) / name
            found[path.relative_to(folder).as_posix()] = path.read_bytes()
    return found
