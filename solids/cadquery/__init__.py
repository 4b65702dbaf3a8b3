"""A proved corner or box as a CadQuery assembly, for further modelling; and its joint cut into boards of your own.

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

To cut a joint into two boards of your own model, let both run through the corner:

    from solids.cadquery import cut_joint

    # A drawer front with a bowed show face, 22 mm thick at its ends, and a side. Z = 0 and Y = 0 are their insides.
    bow = cq.Workplane("YZ").moveTo(0, -200).lineTo(0, 11).lineTo(22, 11).threePointArc((30, -95), (22, -200))
    front = bow.close().extrude(110)
    side = cq.Workplane("XY").box(110, 330, 11, centered=False).translate((0, -300, 0))
    side, front = cut_joint(side, front, "drawer-front")

The proof of an assembly covers what the recipe asks for. It does not cover your changes, so keep them clear of the
joints.

CadQuery's STEP has two limits that the STEP of `halfpin build` does not have. A compound loses its wood, so keep each
`obj` a single solid, as from `.solids().val()`. Names outside ASCII come back garbled.

CadQuery takes two seconds to load, so nothing else of Halfpin imports this package.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeAlias

import cadquery as cq

from solids.base.errors import InputError, JointError
from solids.cadquery.cutting import cut_both
from solids.layout import Layout
from solids.layout.box.model import BoxLayout
from solids.layout.plan import Source, plan
from solids.model.kernel.shaping import motion
from solids.proof.assembly import PieceProof, prove_piece
from solids.wood import Wood

__all__ = ["box", "corner", "cut_joint"]

Board: TypeAlias = cq.Workplane | cq.Shape
"""A board of somebody else's model: one solid."""


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


def cut_joint(
    tail_board: Board,
    pin_board: Board,
    recipe: Source | Layout,
    overrides: Iterable[str] = (),
    *,
    at: cq.Plane | cq.Location | None = None,
    anyway: bool = False,
) -> tuple[cq.Solid, cq.Solid]:
    """Two boards of your own model with the joint of a recipe cut into them: the tail board, the pin board.

    Both run through the corner uncut, and may be bowed or tapered outside. `at` is the joint's frame: X across the
    width from the reference edge, Y out of the pin board's show face, Z out of the tail board's, origin on the inside
    corner at the reference edge. Left out, it is the frame of your model. The recipe's thicknesses are the least that
    the boards have; its lengths and proud ends count for nothing. Through, tails reach as far as your tail board does,
    and sockets run out through your pin board. Half-blind, the tail board is cut off at the joint's depth.

    `recipe`, `overrides`, `anyway` and their errors are as for `corner`; a `Layout` is taken too. InputError says which
    board lacks wood for the joint, and how much; which one stands out of its inside face where the other comes to lie;
    which one is no single solid. The result is proved: the boards share no wood but that of tight flanks, and each has
    lost what the joint's cuts take from it, to a millionth of its volume.
    """
    if isinstance(recipe, Layout):
        if list(overrides):
            raise InputError("overrides change a recipe as it is read; this one is laid out, so read it with them")
        layout: Layout | BoxLayout = recipe
    else:
        layout = plan(recipe, overrides)
    if isinstance(layout, BoxLayout):
        raise InputError("this is a recipe for a whole box; give that of a single corner")
    frame = _frame(at)
    tails, pins = (_one_solid(board, name) for board, name in ((tail_board, "tail board"), (pin_board, "pin board")))
    _proof_of(layout, anyway=anyway)
    back = frame.inverse
    cut = cut_both(layout, tails.moved(back).wrapped, pins.moved(back).wrapped)
    done_tails, done_pins = (cq.Solid(solid).moved(frame) for solid in cut)
    return done_tails, done_pins


def _frame(at: object) -> cq.Location:
    if at is None:
        return cq.Location()
    if isinstance(at, cq.Plane):
        return at.location
    if isinstance(at, cq.Location):
        return at
    raise InputError(f"`at` is a {type(at).__name__}; give a cadquery Plane or Location, the frame of the joint")


def _one_solid(board: object, name: str) -> cq.Solid:
    """The one solid of a board."""
    if isinstance(board, cq.Workplane):
        found = [solid for shape in board.vals() if isinstance(shape, cq.Shape) for solid in shape.Solids()]
    elif isinstance(board, cq.Shape):
        found = board.Solids()
    else:
        raise InputError(
            f"the {name} is a {type(board).__name__}; give a cadquery Workplane or Shape that is one solid"
        )
    if len(found) != 1:
        raise InputError(f"the {name} has {len(found)} solids; give one, as from `.solids().val()`")
    return found[0]


def _proof_of(layout: Layout | BoxLayout, *, anyway: bool) -> PieceProof:
    """JointError where a piece fails its proof, unless it is wanted anyway."""
    proof = prove_piece(layout)
    failing = [finding.said for finding in proof.findings if finding.severity == "fail"]
    if failing and not anyway:
        title = layout.recipe.title
        raise JointError(f"{title} fails its proof: {' '.join(failing)} Mend the recipe, or add anyway=True.")
    return proof


def _proved(layout: Layout | BoxLayout, *, finished: bool, anyway: bool) -> cq.Assembly:
    proof, title = _proof_of(layout, anyway=anyway), layout.recipe.title
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
