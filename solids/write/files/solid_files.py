"""How each file of solids is made and read back."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path

from solids.layout.box.faces import Alike
from solids.layout.dimensions import board_dimensions
from solids.model.kernel import mesh
from solids.model.parts import Part
from solids.write.files.solid_job import SolidJob
from solids.write.formats import step, stl
from solids.write.named import BOARDS, NAMED, Made

FINISHED, TAKEN_AWAY = ", finished", ", wood to take away"
STATES = {"": "cut", FINISHED: "finished", TAKEN_AWAY: "waste"}
"""How the number of a part or a piece ends, by what stands behind its title."""


def _step(name: str, pick: Callable[[SolidJob], Sequence[Part]], state: str = "", what: str = "") -> Made:
    """All parts in one file. Parts of one shape are one part there, placed several times. A `state` stands behind every
    name, so that a designer who opens two files can tell them apart; `what` it is stands behind the title alone."""
    (row,) = NAMED[name]

    def parts(job: SolidJob) -> list[step.Product]:
        shapes: dict[str, list[Part]] = {}
        for part in pick(job):
            shapes.setdefault(part.shape, []).append(part)
        return [
            step.Product(
                name + state,
                alike[0].solid,
                alike[0].wood,
                tuple((part.name + state, part.rows) for part in alike),
                Alike(tuple(part.faces for part in alike)),
                _number(job, name, state + what),
            )
            for name, alike in ((" and ".join(part.name for part in alike), alike) for alike in shapes.values())
        ]

    return (
        lambda job: step.step_bytes(job.title + state + what, row.holds, job.once(parts), _head(job, state + what)),
        lambda path, job: step.reread(path, job.title + state + what, job.once(parts), _head(job, state + what)),
    )


def _head(job: SolidJob, state: str = "") -> step.Head:
    recipe = job.assembly.recipe
    return step.Head(_number(job, job.assembly.name, state), recipe.author, recipe.date)


def _number(job: SolidJob, name: str, state: str = "") -> str:
    """What tells a part, or the whole piece, from every other: "tool-tray-tail-board-cut"."""
    return f"{job.assembly.recipe.slug}-{re.sub('[ ,]+', '-', name)}-{STATES[state]}"


def _board_step(job: SolidJob, name: str) -> bytes:
    return step.step_bytes(f"{job.title}, {name}", f"the {name} as cut", [job.once(_alone)[name]], _head(job))


def _reread_board_step(path: Path, job: SolidJob, name: str) -> None:
    step.reread(path, name, [job.once(_alone)[name]], _head(job))


def _alone(job: SolidJob) -> dict[str, step.Product]:
    """Every board as it lies in the machine, a part by itself."""
    return {
        name: step.Product(
            name,
            lying.solid,
            lying.wood,
            faces=lying.faces,
            number=_number(job, name),
            dimensions=board_dimensions(job.assembly.plan, name),
        )
        for name, lying in job.lying.items()
    }


def _board_stl(job: SolidJob, name: str) -> bytes:
    return stl.stl_bytes(f"{name} as cut", mesh(job.lying[name].solid))


def _reread_board_stl(path: Path, job: SolidJob, name: str) -> None:
    stl.reread(path, job.assembly.volume(name, finished=False))


WHOLE: dict[str, Made] = {
    "corner.step": _step("corner.step", lambda job: job.cut),
    "corner-finished.step": _step("corner-finished.step", lambda job: job.finished, FINISHED),
    "box.step": _step("box.step", lambda job: job.cut),
    "box-finished.step": _step("box-finished.step", lambda job: job.finished, FINISHED),
    "waste.step": _step("waste.step", lambda job: job.waste, what=TAKEN_AWAY),
}
"""How each file of a whole piece is made and read back, from a `SolidJob`."""

SOLIDS: dict[str, Made] = {
    **WHOLE,
    f"{BOARDS}{{board}}.step": (_board_step, _reread_board_step),
    f"{BOARDS}{{board}}.stl": (_board_stl, _reread_board_stl),
}
"""The same for every row, and for those of a board also from its name."""
