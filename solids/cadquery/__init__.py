"""A proved corner or box as a CadQuery assembly, to model on with.

    import cadquery as cq
    from solids.cadquery import corner

    tray = corner("tool-tray", finished=True)
    board = tray.objects["tail board"]      # its upper outside edge is rounded
    board.obj = cq.Workplane(board.obj).faces(">X").edges(">Z").fillet(3).solids().val()
    tray.export("rounded.step")

Each part has its name, its shape (`obj`), its place (`loc`), the colour of its wood, and the wood with its density as
material. Lengths are mm. A corner stands in the joint's frame: X from the reference edge, Y out of the pin board's show
face, Z out of the tail board's. A box stands with its front left lower corner at the origin: X to the right along the
front, Y from front to back, Z up. There each shape has the frame of its own piece, so `obj.moved(loc)` is a part where
it stands. Boards that are congruent by a turn share one shape; give a part another `obj`, and the others keep theirs.

The proof is of what the recipe asks for. What you change afterwards is no longer part of it: stay clear of the joints.

CadQuery's STEP has two limits that the STEP of `halfpin build` does not have. A compound loses its wood, so keep each
`obj` one solid, as `.solids().val()` gives it. Names outside ASCII come back garbled.

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
    KEY=VALUE, as in "joint.tails=5". RecipeError tells why a recipe is refused, FileError why a file cannot be read,
    JointError why a joint fails its proof, unless `anyway`.
    """
    layout = plan(recipe, overrides)
    if isinstance(layout, BoxLayout):
        raise InputError("this is a recipe for a whole box; call solids.cadquery.box")
    return _proved(layout, finished=finished, anyway=anyway)


def box(recipe: Source, overrides: Iterable[str] = (), *, finished: bool = False, anyway: bool = False) -> cq.Assembly:
    """The parts of a proved box, each in its place: "front", "right", "back", "left", "bottom", and where the finished
    box has them, plugs as "plug front left". Arguments and errors are those of `corner`, with a `BoxRecipe`."""
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
    # CadQuery wants every name once, the assembly's own among them.
    made = cq.Assembly(name=f"{title} assembly" if title in {part.name for part in parts} else title)
    shapes: dict[str, cq.Solid] = {}
    for part in parts:
        shape = shapes.setdefault(part.shape, cq.Solid(part.solid))
        place, (red, green, blue) = cq.Location(motion(part.rows)), (value / 255 for value in part.wood.rgb)
        made.add(shape, name=part.name, loc=place, color=cq.Color(red, green, blue), material=_material(part.wood))
    return made


def _material(wood: Wood) -> cq.Material:
    """Density in g/cm3, CadQuery's own unit."""
    return cq.Material(wood.name, description=wood.botanical or wood.kind, density=wood.density_g_cm3)
