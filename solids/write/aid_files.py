"""The files of the shop aids, in the folder `aids/`: a mesh and a solid for each, plates to print, and a note."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from solids.aids.aid import Aid
from solids.aids.catalogue import Proved
from solids.aids.plates import Footprint, Spot, lay_out_plates
from solids.base.messages import Units, said
from solids.model.kernel import bounds, volume_of
from solids.wood import Wood
from solids.write import aids_note, mf3, step, stl
from solids.write.job import FileKind, JointJob
from solids.write.named import AIDS_FOLDER

PLASTIC = Wood("printed plastic", "polylactide (PLA)", "hardwood", 1240.0, "common practice", "#d0893f")
"""What a STEP file says an aid is made of: a name, a density and a colour; the record of a wood holds them."""

MILLED = Wood("hardwood", "any dense hardwood", "hardwood", 700.0, "common practice", "#a9825a")
"""The same of what is for milling; brass is as good."""

COLOURS = ("#d0893f", "#4f7f9e", "#7a9a4c", "#a8577e", "#8c7a5b", "#5b6f8c", "#b0a03c")
"""Our own choice, so that neighbours on a plate are told apart."""


def aid_files(job: JointJob) -> list[FileKind]:
    """Every file of the aids that pass their proof."""
    good, units = job.workshop.good, job.layout.recipe.units
    kinds = [kind for proved in good for kind in (_stl(proved, units), _step(proved, units))]
    kinds += _plates(job)
    name = f"{AIDS_FOLDER}{_some(job)}aids-note.md"
    kinds.append(
        FileKind(
            name,
            "how to print and use each aid, what was checked, and the cautions",
            lambda job: aids_note.note_bytes(job.layout, job.workshop),
            lambda path, _: aids_note.reread(path),
            "aids",
        )
    )
    return [replace(kind, cautions=name) for kind in kinds]


def _some(job: JointJob) -> str:
    """What names begin with where only some kinds are made, so that the note and plates of all stay as they are."""
    asked = job.job.aids
    return f"{'-'.join(sorted(asked.only))}-" if asked and asked.only else ""


def _stl(proved: Proved, units: Units) -> FileKind:
    aid = proved.aid
    return FileKind(
        f"{AIDS_FOLDER}{aid.name}.stl",
        f"{said(aid.title, units)}, as a mesh in mm, as it lies on the bed",
        lambda _: stl.stl_bytes(aid.name, proved.surface),
        lambda path, _: stl.reread(path, volume_of(aid.solid)),
        "aids",
    )


def _step(proved: Proved, units: Units) -> FileKind:
    aid = proved.aid
    holds = f"{said(aid.title, units)}, as it lies on the bed"
    parts = [step.Part(aid.name, aid.solid, PLASTIC if aid.to_print else MILLED)]
    return FileKind(
        f"{AIDS_FOLDER}{aid.name}.step",
        holds,
        lambda job: step.step_bytes(f"{job.layout.recipe.title}, {aid.name}", holds, parts),
        lambda path, _: step.reread(path, aid.name, parts),
        "aids",
    )


def _plates(job: JointJob) -> Iterator[FileKind]:
    """One file a plate: `plate.3mf`, or `plate-1.3mf` and so on where one bed does not hold all."""
    printed = {
        name: proved for proved in job.workshop.good if proved.aid.to_print for name in _names_on_plates(proved.aid)
    }
    footprints = [_footprint(name, proved) for name, proved in printed.items()]
    plates = lay_out_plates(footprints, job.layout.recipe.printing.bed)
    for number, plate in enumerate(plates, start=1):
        name = f"{_some(job)}plate.3mf" if len(plates) == 1 else f"{_some(job)}plate-{number}.3mf"
        pieces = [_piece(printed[spot.name], spot, COLOURS[place % len(COLOURS)]) for place, spot in enumerate(plate)]
        yield _plate(f"{AIDS_FOLDER}{name}", pieces)


def _names_on_plates(aid: Aid) -> list[str]:
    """ "edge-pad" and "edge-pad-2" where two are needed."""
    return [aid.name, *(f"{aid.name}-{number}" for number in range(2, aid.copies + 1))]


def _plate(name: str, pieces: list[mf3.Piece]) -> FileKind:
    def reread(path: Path, _: JointJob) -> None:
        mf3.reread(path, pieces)

    holds = f"a plate for the printer: {', '.join(piece.name for piece in pieces)}"
    return FileKind(name, holds, lambda job: mf3.mf3_bytes(job.layout.recipe.title, pieces), reread, "aids")


def _footprint(name: str, proved: Proved) -> Footprint:
    (x1, y1, _), (x2, y2, _) = bounds(proved.aid.solid)
    return Footprint(name, x2 - x1, y2 - y1)


def _piece(proved: Proved, spot: Spot, colour: str) -> mf3.Piece:
    """An aid on its spot: its lowest corner there, also where it is turned by a quarter."""
    (x1, y1, _), (_, y2, _) = bounds(proved.aid.solid)
    x, y = (spot.x + y2, spot.y - x1) if spot.turned else (spot.x - x1, spot.y - y1)
    return mf3.Piece(spot.name, proved.surface, colour, x, y, spot.turned)
