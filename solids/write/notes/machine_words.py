"""How the boards of a joint lie in the machine, in words for its note."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from solids.base import tolerances as tol
from solids.base.lengths import CALIPER, format_both
from solids.bench.milling import groove_cutter
from solids.layout import Layout
from solids.layout.box.kinds import and_so_on
from solids.layout.setups import FLAT, Channel, JointHere, MachineBoard, Setup, end_name
from solids.write.drafting.layers import ZERO, layer_name, machine_layer
from solids.write.named import BOARDS


def machine_words(layout: Layout, boards: Collection[MachineBoard]) -> dict[str, str]:
    """The words of the note that tell how the boards lie, and where their zeros are."""
    upright = [(board, setup, joint) for board in boards for setup in board.setups for joint in setup.joints]
    met = layout.standing.corners
    upright = [each for each in upright if not each[1].is_flat and (not met or each[2].corner in met)]
    flat = [board for board in boards if board.lies.is_flat]
    return {
        "zero_layer": layer_name(ZERO, layout.recipe.paper.dxf_version),
        "tail_places": " ".join(_flat_words(board, met) for board in flat),
        "pin_places": " ".join(_upright_words(*each) for each in upright),
        "jig_zero": _jig_zero(layout, [joint for _, _, joint in upright]),
        "groove_words": " ".join(_groove_words(layout, boards)),
    }


def _files(board: MachineBoard) -> str:
    return f"{BOARDS}{board.name.replace(' ', '-')}"


def _flat_words(board: MachineBoard, met: Collection[str]) -> str:
    """Which end of a flat board lies to the left, and whether the joint is at one of them alone."""
    if not met:
        return f"Put the raw end to the left. `{_files(board)}.step`, `.stl`, `.dxf` and `.svg` lie like this."
    ends = {joint.side: joint.corner for joint in board.lies.joints}
    left, right = (end_name(board.name, ends[side]) for side in ("left", "right"))
    words = (
        f"`{_files(board)}.step`, `.stl`, `.dxf` and `.svg` lie with the {left} to the left, the {right} to the right."
    )
    here = [corner for corner in ends.values() if corner in met]
    return words if len(here) > 1 else f"{words} This note is for the {end_name(board.name, here[0])}."


def _upright_words(board: MachineBoard, setup: Setup, joint: JointHere) -> str:
    """Which layers of a board's drawing are for the end of the joint, and where its reference edge is."""
    runs = "to the right" if joint.side == "left" else "to the left, below 0"
    where = f"The reference edge is on the {joint.side}, and X runs {runs}."
    if not joint.corner:
        return f"`{_files(board)}.step`, `.stl`, `.dxf` and `.svg` stand like this. {where}"
    models = " Its models stand like this." if setup == board.lies else ""
    return (
        f"In `{_files(board)}.dxf` this end is on the layers that begin with "
        f"`{layer_name(setup.name, board.recipe.paper.dxf_version)}`. {where}{models}"
    )


def _jig_zero(layout: Layout, joints: Collection[JointHere]) -> str:
    """How the jig's zero lies to that of the paths: its cradle holds the left edge, wherever the reference edge is."""
    if all(joint.side == "left" for joint in joints):
        return " This same zero is marked on it."
    width = f"{-layout.width:.4f}".rstrip("0").rstrip(".")
    return (
        " Its mark, X0 Y0, is at the left edge. Where the reference edge is on the left, it is this same zero. Where "
        f"it is on the right, set X to {width} mm there."
    )


def _groove_words(layout: Layout, boards: Collection[MachineBoard]) -> Iterator[str]:
    """How the grooves of the boards that meet are ploughed, first those for the bottom; nothing where there is none."""
    channels = [(board, groove) for board in boards for setup in board.setups for groove in setup.grooves]
    for is_top in (False, True):
        if grooved := {_files(board): groove for board, groove in channels if groove.is_top == is_top}:
            yield from _ploughed(layout, grooved, also=is_top and layout.groove is not None)


def _ploughed(layout: Layout, grooved: dict[str, Channel], *, also: bool) -> Iterator[str]:
    """The same of one groove, in the files of the boards that have it. `also`: it is not the first that is told of."""
    groove, (paper, cutters) = next(iter(grooved.values())), (layout.recipe.paper, layout.recipe.kit.cutters)
    wide, deep = (format_both(mm, layout.recipe.units, CALIPER) for mm in (groove.y[1] - groove.y[0], groove.depth))
    layer = layer_name(machine_layer(FLAT, "groove", groove.depth, paper.dxf_units), paper.dxf_version)
    files = and_so_on([f"`{file}.dxf`" for file in grooved])
    is_rebate = not groove.is_top and layout.groove is not None and layout.groove.is_rebate
    cut, across = ("Cut the rebate", "high") if is_rebate else ("Plough it", "wide")
    cut = "Plough the groove for the top too" if also else cut
    yield (
        f"{cut} before the ends are cut: {wide} {across}, {deep} deep, with the board flat, inside face up, the "
        f"reference edge away from you. It is on the layer `{layer}` of {files}."
    )
    thick = groove_cutter(cutters, groove.y[1] - groove.y[0], groove.depth)
    if thick is not None:
        path = layer_name(machine_layer(FLAT, "last", groove.depth, paper.dxf_units, thick), paper.dxf_version)
        once = abs(thick - (groove.y[1] - groove.y[0])) < tol.ROUNDING
        yield f"The path of your {format_both(thick, layout.recipe.units, CALIPER)} cutter is on `{path}`" + (
            ", down the middle once." if once else "."
        )
    elif cutters:
        yield "None of your cutters goes into it and reaches its floor, so no path is drawn."
    if any(stop for each in grooved.values() for stop in each.stops):
        yield "Where it stops in the wood, the cutter leaves a round end. Chop it square."
