"""The files of the shop aids, in the folder `aids/`: a mesh and a solid for each, plates to print, and a note."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

from solids.aids.catalogue import Proved
from solids.aids.making.aid import Aid
from solids.aids.making.plates import Footprint, Spot, lay_out_plates
from solids.base.messages import Units, said
from solids.model.kernel import bounds, volume_of
from solids.wood import Wood
from solids.write.formats import mf3, step, stl
from solids.write.named import AIDS_FOLDER, File
from solids.write.notes import aids_note, markdown

if TYPE_CHECKING:
    from solids.write.files.job import JointJob

PLASTIC = Wood("printed plastic", "polylactide (PLA)", "hardwood", 1240.0, "common practice", "#d0893f")
"""What a STEP file says a printed aid is made of. The record of a wood has room for it: name, density, colour."""

MILLED = Wood("hardwood", "any dense hardwood", "hardwood", 700.0, "common practice", "#a9825a")
"""The same for an aid that is milled. Brass would do as well."""

COLOURS = ("#d0893f", "#4f7f9e", "#7a9a4c", "#a8577e", "#8c7a5b", "#5b6f8c", "#b0a03c")
"""One for each piece on a plate, so that neighbours can be told apart. Our own choice."""


def aid_files(joint: JointJob) -> list[File]:
    """Every file of the aids that pass their proof, by its plain name."""
    units = joint.layout.recipe.units
    note, title = f"{AIDS_FOLDER}{_some(joint)}aids-note.md", joint.layout.recipe.title
    files = [
        file
        for proved in joint.workshop.good
        for file in (_stl(proved, units, note), _step(proved, units, title, note))
    ]
    files += _plates(joint, note)
    holds = "how to print and use each aid, what was checked, and the cautions"
    made = partial(aids_note.note_bytes, joint.layout, joint.workshop)
    return [*files, File(note, holds, made, partial(markdown.reread, end=aids_note.END), note)]


def _some(joint: JointJob) -> str:
    """A prefix where only some kinds of aid are made, so that the note and the plates of the full set are left
    alone."""
    asked = joint.job.aids
    return f"{'-'.join(sorted(asked.only))}-" if asked and asked.only else ""


def _stl(proved: Proved, units: Units, note: str) -> File:
    aid = proved.aid
    return File(
        f"{AIDS_FOLDER}{aid.name}.stl",
        f"{said(aid.title, units)}, as a mesh in mm, as it lies on the bed",
        lambda: stl.stl_bytes(aid.name, proved.surface),
        lambda path: stl.reread(path, volume_of(aid.solid)),
        note,
    )


def _step(proved: Proved, units: Units, title: str, note: str) -> File:
    aid = proved.aid
    holds = f"{said(aid.title, units)}, as it lies on the bed"
    parts = [step.Product(aid.name, aid.solid, PLASTIC if aid.to_print else MILLED)]
    return File(
        f"{AIDS_FOLDER}{aid.name}.step",
        holds,
        lambda: step.step_bytes(f"{title}, {aid.name}", holds, parts),
        lambda path: step.reread(path, aid.name, parts),
        note,
    )


def _plates(joint: JointJob, note: str) -> Iterator[File]:
    """One file for each plate: `plate.3mf`, or `plate-1.3mf` and so on where one bed does not hold everything."""
    recipe = joint.layout.recipe
    printed = {
        name: proved for proved in joint.workshop.good if proved.aid.to_print for name in _names_on_plates(proved.aid)
    }
    footprints = [_footprint(name, proved) for name, proved in printed.items()]
    plates = lay_out_plates(footprints, recipe.printing.bed)
    for number, plate in enumerate(plates, start=1):
        name = f"{AIDS_FOLDER}{_some(joint)}plate{'' if len(plates) == 1 else f'-{number}'}.3mf"
        pieces = [_piece(printed[spot.name], spot, COLOURS[place % len(COLOURS)]) for place, spot in enumerate(plate)]
        holds = f"a plate for the printer: {', '.join(piece.name for piece in pieces)}"
        make, reread = partial(mf3.mf3_bytes, recipe.title, pieces), partial(mf3.reread, pieces=pieces)
        yield File(name, holds, make, reread, note)


def _names_on_plates(aid: Aid) -> list[str]:
    """ "edge-pad" and "edge-pad-2" where two are needed."""
    return [aid.name, *(f"{aid.name}-{number}" for number in range(2, aid.copies + 1))]


def _footprint(name: str, proved: Proved) -> Footprint:
    (x1, y1, _), (x2, y2, _) = bounds(proved.aid.solid)
    return Footprint(name, x2 - x1, y2 - y1)


def _piece(proved: Proved, spot: Spot, colour: str) -> mf3.PlacedMesh:
    """An aid with its lower left corner on its spot, turned by a quarter or not."""
    (x1, y1, _), (_, y2, _) = bounds(proved.aid.solid)
    x, y = (spot.x + y2, spot.y - x1) if spot.turned else (spot.x - x1, spot.y - y1)
    return mf3.PlacedMesh(spot.name, proved.surface, colour, x, y, spot.turned)
