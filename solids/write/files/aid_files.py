"""The files of the shop aids, in the folder `aids/`: mesh, solid and picture of each, plates to print, every check, and
a note."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING

from solids.aids.catalogue import Proved
from solids.aids.making.aid import Aid
from solids.aids.making.plates import Footprint, Spot, lay_out_plates
from solids.aids.making.print_way import about_grams, about_minutes
from solids.aids.marking.template import MarkerAid
from solids.base.messages import Units, said
from solids.model.kernel import bounds, slack_of, volume_of
from solids.recipe.tables.resolved import Recipe
from solids.wood import Wood
from solids.write.formats import mf3, step, stl
from solids.write.named import AIDS_FOLDER, AIDS_NOTE, File
from solids.write.notes import aids_note, markdown
from solids.write.paper import line_picture
from solids.write.report.file import report_bytes
from solids.write.report.making.aids import aids_report, reread_aids
from solids.write.report.records.aids import CHECKS

if TYPE_CHECKING:
    from solids.write.files.job import JointJob

PLASTIC = Wood("printed plastic", "polylactide (PLA)", "hardwood", 1240.0, "common practice", "#d0893f")
"""What a STEP file says a printed aid is made of. The record of a wood has room for it: name, density, colour."""

MILLED = Wood("hardwood", "any dense hardwood", "hardwood", 700.0, "common practice", "#a9825a")
"""The same for an aid that is milled. Brass would do as well."""

PICTURED = "#e3b583"
"""The colour of faces in pictures, light enough for lines to show on it. Our own choice."""

COLOURS = ("#d0893f", "#4f7f9e", "#7a9a4c", "#a8577e", "#8c7a5b", "#5b6f8c", "#b0a03c")
"""One for each piece on a plate, so that neighbours can be told apart. Our own choice."""


def aid_files(joint: JointJob) -> list[File]:
    """Every file of the aids that pass their proof and are this joint's own, by its plain name."""
    units = joint.layout.recipe.units
    some = f"{AIDS_FOLDER}{joint.some_aids}"
    note = f"{some}{AIDS_NOTE}"
    own = tuple(proved for proved in joint.workshop.good if proved.aid.name not in joint.elsewhere)
    files = [
        file
        for proved in own
        for file in (_stl(proved, units, note), _step(proved, joint.layout.recipe, note), _picture(proved, units, note))
    ]
    files += [file for proved in own for file in _drawings(proved, joint, note)]
    files += _plates(joint, own, note)
    record = aids_report(own, units)
    holds = "how each aid is printed, and every check of it, for programs"
    files.append(File(f"{some}{CHECKS}", holds, partial(report_bytes, record), partial(reread_aids, record), note))
    holds = "how to print and use each aid, what was checked, and the cautions"
    others, checks = aids_note.elsewhere_words(joint), f"{joint.some_aids}{CHECKS}"
    made = partial(aids_note.note_bytes, joint.layout, joint.workshop, own, others, checks)
    return [*files, File(note, holds, made, partial(markdown.reread, end=aids_note.END), note)]


def _stl(proved: Proved, units: Units, note: str) -> File:
    aid = proved.aid
    return File(
        f"{AIDS_FOLDER}{aid.name}.stl",
        f"{said(aid.title, units)}, as a mesh in mm, as it lies on the bed",
        lambda: stl.stl_bytes(aid.name, proved.surface),
        lambda path: stl.reread(path, volume_of(aid.solid), slack_of(aid.solid)),
        note,
    )


def _step(proved: Proved, recipe: Recipe, note: str) -> File:
    aid = proved.aid
    holds = f"{said(aid.title, recipe.units)}, as it lies on the bed"
    wood = PLASTIC if aid.to_print else MILLED
    parts = [step.Product(aid.name, aid.solid, wood, number=f"{recipe.slug}-{aid.name}")]
    head = step.Head(author=recipe.author, date=recipe.date)
    return File(
        f"{AIDS_FOLDER}{aid.name}.step",
        holds,
        lambda: step.step_bytes(f"{recipe.title}, {aid.name}", holds, parts, head),
        lambda path: step.reread(path, aid.name, parts, head),
        note,
    )


def _picture(proved: Proved, units: Units, note: str) -> File:
    aid = proved.aid
    words = said(aid.title, units)
    return File(
        f"{AIDS_FOLDER}{aid.name}.svg",
        f"{words}, as a picture",
        lambda: line_picture.svg_bytes(aid.solid, words, PICTURED),
        lambda path: line_picture.reread(path, words),
        note,
    )


def _drawings(proved: Proved, joint: JointJob, note: str) -> Iterator[File]:
    """The drawing of a marking template that is milled, in three formats."""
    aid = proved.aid
    if aid.to_print or not isinstance(aid, MarkerAid):
        return
    from solids.write.drafting.marker import marker_drawing
    from solids.write.paper import dxf, svg
    from solids.write.paper.typesetting import pdf

    recipe = joint.layout.recipe
    words = said(aid.title, recipe.units)
    sheet, how = cache(lambda: marker_drawing(aid, recipe)), recipe.paper.dxf
    made: tuple[tuple[str, str, Callable[[], bytes], Callable[[Path], None]], ...] = (
        ("dxf", "for CAD", lambda: dxf.dxf_bytes(sheet(), *how), lambda path: dxf.reread(path, sheet(), *how)),
        ("svg", "as a picture", lambda: svg.svg_bytes(sheet()), lambda path: svg.reread(path, sheet())),
        ("pdf", "to print", lambda: pdf.sheet_pdf(sheet(), words), pdf.reread),
    )
    for ending, what, make, reread in made:
        holds = f"{words}: the drawing with its tolerances, {what}"
        yield File(f"{AIDS_FOLDER}{aid.name}-drawing.{ending}", holds, make, reread, note)


def _plates(joint: JointJob, own: Sequence[Proved], note: str) -> Iterator[File]:
    """One file for each plate: `plate.3mf`, or `plate-1.3mf` and so on where one bed does not hold everything."""
    recipe = joint.layout.recipe
    printed = {name: proved for proved in own if proved.aid.to_print for name in _names_on_plates(proved.aid)}
    footprints = [_footprint(name, proved) for name, proved in printed.items()]
    plates = lay_out_plates(footprints, recipe.printing.bed)
    for number, plate in enumerate(plates, start=1):
        name = f"{AIDS_FOLDER}{joint.some_aids}plate{'' if len(plates) == 1 else f'-{number}'}.3mf"
        aids = [printed[spot.name] for spot in plate]
        pieces = [
            _piece(proved, spot, COLOURS[place % len(COLOURS)], recipe.units)
            for place, (spot, proved) in enumerate(zip(plate, aids, strict=True))
        ]
        words = _plate_words(aids)
        holds = f"a plate for the printer: {', '.join(piece.name for piece in pieces)}"
        make = partial(mf3.mf3_bytes, recipe.title, pieces, words)
        reread = partial(mf3.reread, pieces=pieces, words=words)
        yield File(name, holds, make, reread, note)


def _plate_words(aids: Sequence[Proved]) -> str:
    """What a plate takes."""
    taken = [proved.takes for proved in aids if proved.takes]
    minutes, grams = sum(one.minutes for one in taken), sum(one.grams for one in taken)
    return f"About {about_minutes(minutes)} and {about_grams(grams)} for the plate. {aids_note.RATES}"


def _names_on_plates(aid: Aid) -> list[str]:
    """ "edge-pad" and "edge-pad-2" where two are needed."""
    return [aid.name, *(f"{aid.name}-{number}" for number in range(2, aid.copies + 1))]


def _footprint(name: str, proved: Proved) -> Footprint:
    (x1, y1, _), (x2, y2, _) = bounds(proved.aid.solid)
    return Footprint(name, x2 - x1, y2 - y1)


def _piece(proved: Proved, spot: Spot, colour: str, units: Units) -> mf3.PlacedMesh:
    """An aid with its lower left corner on its spot, turned by a quarter or not."""
    (x1, y1, _), (_, y2, _) = bounds(proved.aid.solid)
    x, y = (spot.x + y2, spot.y - x1) if spot.turned else (spot.x - x1, spot.y - y1)
    words = said(proved.print_words, units)
    return mf3.PlacedMesh(spot.name, proved.surface, colour, x, y, spot.turned, words)
