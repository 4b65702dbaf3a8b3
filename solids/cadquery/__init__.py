"""A proved corner or box as a CadQuery assembly, for further modelling.

    import cadquery as cq
    from solids.cadquery import corner

    tray = corner("tool-tray", finished=True)
    board = tray.objects["tail board"]      # round its upper outside edge
    board.obj = cq.Workplane(board.obj).faces(">X").edges(">Z").fillet(3).solids().val()
    tray.export("rounded.step")

Each part has a name, a shape (`obj`), a location (`loc`), the colour of its wood, and the wood with its density as
material. Lengths are in mm. A corner stands in the joint's frame: X from the reference edge, Y out of the pin board's
show face, Z out of the tail board's. A box has its front left lower corner at the origin: X to the right along the
front, Y from front to back, Z up. In a box each shape has the frame of its own board, and `obj.moved(loc)` is the part
in its place. Boards that match by a rotation share one shape. If you give one a new `obj`, the others keep theirs.

The proof covers what the recipe asks for. It does not cover your changes, so keep them clear of the joints.

CadQuery's STEP has two limits that the STEP of `halfpin build` does not have. A compound loses its wood, so keep each
`obj` a single solid, as from `.solids().val()`. Names outside ASCII come back garbled.

CadQuery takes two seconds to load, so nothing else of Halfpin imports this package.
"""

from __future__ import annotations

from collections.abc import Iterable

import cadquery as cq

from solids.base.errors import InputError, JointError
from solids.layout import Layout
from solids.layout.box.model import BoxLayout
from solids.layout.plan import Source, plan
from solids.model.kernel.shaping import motion
from solids.proof.assembly import prove_piece
from solids.wood import Wood

__all__ = ["box", "corner"]


def corner(
    recipe: Source, overrides: Iterable[str] = (), *, finished: bool = False, anyway: bool = False
) -> cq.Assembly:
    """Both boards of a proved corner, seated: "tail board" and "pin board", as cut or as finished.

    `recipe` is a file, the name of a preset, a TOML text of more than one line, or a resolved `Recipe`; `overrides` are
    KEY=VALUE, as in "joint.tails=5". RecipeError says why a recipe is refused, FileError why a file cannot be read.
    JointError says why a joint fails its proof, unless `anyway` is set.
    """
    layout = plan(recipe, overrides)
    if isinstance(layout, BoxLayout):
        raise InputError("this is a recipe for a whole box; call solids.cadquery.box")
    return _proved(layout, finished=finished, anyway=anyway)


def box(recipe: Source, overrides: Iterable[str] = (), *, finished: bool = False, anyway: bool = False) -> cq.Assembly:
    """The parts of a proved box, each in its place: "front", "right", "back", "left", "bottom", and where the finished
    box has them, plugs as "plug front left". Arguments and errors are as for `corner`, with a `BoxRecipe`."""
    layout = plan(recipe, overrides)
    if isinstance(layout, Layout):
        raise InputError("this is a recipe for a single corner; call solids.cadquery.corner")
    return _proved(layout, finished=finished, anyway=anyway)


def _proved(layout: Layout | BoxLayout, *, finished: bool, anyway: bool) -> cq.Assembly:
    proof, title = prove_piece(layout), layout.recipe.title
    failing = [finding.said for finding in proof.findings if finding.severity == "fail"]
    if failing and not anyway:
        raise JointError(f"{title} fails its proof: {' '.join(failing)} Mend the recipe, or add anyway=True.")
    parts = proof.finished if finished else proof.cut
    # CadQuery needs unique names, the assembly's own included.
    made = cq.Assembly(name=f"{title} assembly" if title in {part.name for part in parts} else title)
    shapes: dict[str, cq.Solid] = {}
    for part in parts:
        shape = shapes.setdefault(part.shape, cq.Solid(part.solid))
        place, (red, green, blue) = cq.Location(motion(part.rows)), (value / 255 for value in part.wood.rgb)
        made.add(shape, name=part.name, loc=place, color=cq.Color(red, green, blue), material=_material(part.wood))
    return made


def _material(wood: Wood) -> cq.Material:
    """A wood as a CadQuery material, density in g/cm3."""
    return cq.Material(wood.name, description=wood.botanical or wood.kind, density=wood.density_g_cm3)
