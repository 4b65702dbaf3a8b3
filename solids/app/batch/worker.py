"""What a worker does with one joint: proof, files, and an account of both. It runs in processes here and on a cluster's
machines alike: what it returns is all that it leaves behind."""

from __future__ import annotations

import gc
import importlib
import os
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, cast

from solids.app.batch.tasks import Task, tables_of
from solids.base.errors import HalfpinError, RecipeError
from solids.base.scratch import scratch

if TYPE_CHECKING:
    from solids.layout import Layout
    from solids.layout.box import BoxLayout
    from solids.write.writing import Written

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
    for module in ("solids.write.table", "solids.write.box.files"):
        importlib.import_module(module)
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
        done = _box(task, check_only, anyway) if "box" in tables_of(task) else _corner(task, check_only, anyway)
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


def _corner(task: Task, check_only: bool, anyway: bool) -> Done:
    from solids.layout.plan import plan_of
    from solids.write.table import prove_layout, write_files

    layout = cast("Layout", plan_of(tables_of(task)))
    job = prove_layout(layout)
    recipe = layout.recipe
    size = {
        "kind": recipe.kind,
        "tails": len(layout.tails),
        "slope": f"1:{layout.ratio:.4g}",
        "width_mm": layout.width,
        "tail_board_mm": recipe.tail_board.thickness,
        "pin_board_mm": recipe.pin_board.thickness,
    }
    files = {} if check_only else _written(task, write_files, job, anyway)
    return _done(job.proof.passes, job.proof.findings, size, files)


def _box(task: Task, check_only: bool, anyway: bool) -> Done:
    from solids.layout.plan import plan_of
    from solids.write.box.files import prove_box_layout, write_box

    box = cast("BoxLayout", plan_of(tables_of(task)))
    job = prove_box_layout(box)
    corner = box.corners["front left"].layout
    size = {
        "kind": "box",
        "tails": len(corner.tails),
        "slope": f"1:{corner.ratio:.4g}",
        "width_mm": box.recipe.height,
        "tail_board_mm": corner.recipe.tail_board.thickness,
        "pin_board_mm": corner.recipe.pin_board.thickness,
    }
    files = {} if check_only else _written(task, write_box, job, anyway)
    return _done(job.proof.passes, job.proof.findings, size, files)


def _written(task: Task, write: Callable[..., Written], job: Any, anyway: bool) -> dict[str, bytes]:
    """The files of a job, unless it fails and nobody insists."""
    if not (job.proof.passes or anyway):
        return {}
    # Read back where they are made, in memory if there is such a place; who asked puts them on a real disk.
    with scratch() as folder:
        return _read(write(job, folder, groups=task.groups, only=task.files).folder)


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
