"""What a maker may ask for: one model per table of the recipe, one field per key.

Only the keys of `NEEDED` are required, and in a box they may follow from its sizes. None means "left out"; `choices.py`
fills it in by a rule of the trade. Descriptions here are the only text about a key: the starter recipe, the JSON Schema
and the docs read them.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import Field

from solids.base import tolerances as tol
from solids.base.json_schema import schema_of
from solids.recipe.tables.air import Air, Home, HomeAsked
from solids.recipe.tables.box_schema import (
    GrooveTable,
    Hollow,
    PanelTable,
    PaperTable,
    RoughTable,
    SideTable,
    Size,
    StockTable,
    Thick,
    Wide,
    corner_table,
)
from solids.recipe.tables.dates import Date
from solids.recipe.tables.fields import Length, Number, OneOf, Spacing, Title, Whole, WoodField, YesNo
from solids.recipe.tables.keys import keys_of
from solids.recipe.tables.listed_fields import Edges, Flanks, FlankSlopes, GivenFlank, HalfPins, MitreTable, Pins
from solids.recipe.tables.marker_schema import AidsTable
from solids.recipe.tables.print_schema import PrintTable, ToolSize
from solids.recipe.tables.resolved import EdgeName
from solids.recipe.tables.table import Table
from solids.wood import Climate, Wood

DRAFT = "https://json-schema.org/draft/2020-12/schema"

NEEDED = {"joint": "width", "tail_board": "thickness", "pin_board": "thickness"}
"""The sizes that a corner cannot do without, by table."""

Edge = Annotated[float | None, Length(tol.LEAST_FEATURE)]
Step = Annotated[float | None, Length(tol.LEAST_STEP, 50.0, zero=True)]
Cutter = Annotated[float, Length(tol.THINNEST_CUTTER, tol.THICKEST_CUTTER)]
OwnTool = Annotated[float | None, Length(0.05, 200.0)]


class JointTable(Table):
    """The joint itself."""

    kind: Annotated[Literal["through", "half-blind"] | None, OneOf(("through", "half-blind"))] = Field(
        None, description="Through, or half-blind as in a drawer front.", examples=["through"]
    )
    width: Wide = Field(None, description="Width of both boards, from the reference edge to the other.", examples=[96])
    look: Annotated[Literal["fine", "stout"] | None, OneOf(("fine", "stout"))] = Field(
        None,
        description="What chooses pins, half pins and tails: fine has thin pins, stout has pins of half the board.",
        examples=["fine"],
    )
    tails: Annotated[int | None, Whole(1, tol.MOST_TAILS)] = Field(None, description="How many tails.", examples=[4])
    slope: Annotated[float | tuple[float, ...] | None, FlankSlopes()] = Field(
        None,
        description='Slope of the tails: "1:7", or an angle such as "8 deg"; or a list with that of each flank.',
        examples=["1:7"],
    )
    pin: Annotated[float | tuple[float, ...] | None, Pins()] = Field(
        None,
        description="Width of a full pin where it is narrowest, at the show face; or a list with that of each.",
        examples=[3],
    )
    half_pin: Annotated[float | tuple[float, float] | None, HalfPins()] = Field(
        None,
        description="Width of the half pins, the pins at both edges, where they are narrowest; or a list of both.",
        examples=[5],
    )
    spacing: Annotated[str | tuple[float, ...] | None, Spacing()] = Field(
        None,
        description='"even", "graduated" (tails grow toward the middle), "by eye" (tails differ a little, drawn from '
        "a seed), or a list of tail widths.",
        examples=["even"],
    )
    grading: Annotated[float | None, Number(-0.5, 2.0)] = Field(
        None, description="Graduated only: how much each tail grows, as a share of the first.", examples=[0.15]
    )
    seed: Annotated[int | None, Whole(1, tol.LARGEST_SEED)] = Field(
        None,
        description="By eye only: the number that the tails are drawn from; another one draws others.",
        examples=[1],
    )
    allow_thin_half_pin: Annotated[bool | None, YesNo()] = Field(
        None, description="true where you insist on half pins thinner than the rule.", examples=[False]
    )
    flanks: Annotated[tuple[GivenFlank, ...] | None, Flanks()] = Field(
        None,
        description="Where every flank lies, in place of tails, pins and spacing: [x at the show face, x at the "
        "baseline] from the reference edge, two for each tail; or the first alone, with the joint's slope.",
        examples=[[[8, 9.5], [28, 26.5]]],
    )
    edges: Annotated[tuple[EdgeName, EdgeName] | None, Edges()] = Field(
        None,
        description='What stands at the reference edge and at the other: "half pin" or "half tail".',
        examples=[["half pin", "half pin"]],
    )
    mitre: MitreTable | None = Field(None, description=MitreTable.__doc__)
    lap: Edge = Field(None, description="Half-blind only: the wood left in front of the tails.", examples=[5])


class BoardTable(Table):
    """One of the two boards."""

    thickness: Thick = Field(
        None, description="Thickness of the board, or a list of it at several places, as in [12, 11.8].", examples=[12]
    )
    cup: Hollow = Field(None, description="How hollow the board is across its width; 0 for flat.", examples=[0])
    length: Annotated[float | None, Length(1.0)] = Field(
        None, description="Length of the board from the baseline, without the joint.", examples=[150]
    )
    wood: Annotated[Wood | None, WoodField()] = Field(
        None,
        description='A wood from `halfpin woods`, or { name = "plum", kind = "hardwood", density = 750 }.',
        examples=["beech"],
    )
    sawn: Annotated[Literal["flat", "quarter"] | None, OneOf(("flat", "quarter"))] = Field(
        None, description="How the board was sawn from the log.", examples=["flat"]
    )
    proud: Step = Field(None, description="How far its ends stand past the other board as cut.", examples=[0.5])


class TailBoardTable(BoardTable):
    """The board that carries the tails."""

    rebate: Step = Field(
        None,
        description="Depth of a rebate across its inside face, from the baseline to the end, that registers the tails; "
        "0 for none.",
        examples=[0],
    )


class FitTable(Table):
    """How tight the joint is meant to be."""

    flank_gap: Annotated[float | None, Length(tol.LEAST_GAP, tol.LARGEST_GAP, zero=True, signed=True)] = Field(
        None,
        description="Gap at each flank, the sloping side of a tail or pin; a negative gap is a tight fit.",
        examples=[0],
    )
    sigma: Annotated[float | None, Length(0.001, 1.0)] = Field(
        None, description="How far a flank strays from its knifed line, as a standard deviation.", examples=[0.05]
    )
    shift: Annotated[float | None, Length(0.001, 1.0, zero=True)] = Field(
        None, description="How far a board may slip sideways while it is marked, as a standard deviation.", examples=[0]
    )


class EntryChamferTable(Table):
    """A chamfer on the inside edges of the tails, so that they enter without bruising."""

    width: Step = Field(None, description="Leg of the chamfer; 0 for none.", examples=[1])
    back: Step = Field(None, description="How far it stays back from the show face.", examples=[2.5])


class UndercutTable(Table):
    """A hollow in the floor of the sockets, so that the edges close up."""

    depth: Step = Field(None, description="Depth of the hollow half-way; 0 for none.", examples=[0.3])
    land: Step = Field(None, description="Flat left at each face.", examples=[2])


class FinishTable(Table):
    """What is done after the glue has set."""

    ends: Annotated[Literal["flush", "proud"] | None, OneOf(("flush", "proud"))] = Field(
        None, description='"flush" (planed off) or "proud" (left standing, edges chamfered).', examples=["flush"]
    )
    chamfer: Step = Field(None, description="Chamfer round ends left proud.", examples=[0.25])
    planing: Step = Field(None, description="How much is planed off the show faces themselves.", examples=[0])


class KitTable(Table):
    """Your own tools, so that the tool can say which chisel fits and where the kerf lies."""

    chisels: tuple[ToolSize, ...] | None = Field(None, description="Widths of your chisels.", examples=[[3, 6, 10, 12]])
    saw_kerf: OwnTool = Field(None, description="Kerf of your dovetail saw.", examples=[0.6])
    knife: OwnTool = Field(None, description="Thickness of your marking knife.", examples=[0.8])
    scale: Annotated[float | None, Length(tol.FINEST_SCALE, tol.COARSEST_SCALE)] = Field(
        None,
        description="How far apart the lines of your rule are, to which recipes of its units give places to mark.",
        examples=[0.5],
    )
    cutters: tuple[Cutter, ...] | None = Field(
        None,
        description="Diameters of your straight router cutters, for the paths in the drawing and the note for CNC.",
        examples=[[3, 6]],
    )
    bush: OwnTool = Field(
        None, description="Outside diameter of your router's guide bush, for the comb of the jig.", examples=[16]
    )


class ClimateTable(Table):
    """The air where you work and where the piece will stand, for what the wood does afterwards."""

    shop: Annotated[Climate | None, Air()] = Field(
        None, description='Temperature and relative humidity of your shop, as in "20 C, 50 %".', examples=["20 C, 55 %"]
    )
    home: Annotated[HomeAsked | None, Home()] = Field(
        None,
        description="The same for the room it goes to, at its driest and at its dampest; or one of them, as in "
        '"21 C, 35 %".',
        examples=[{"dry": "21 C, 35 %", "damp": "22 C, 65 %"}],
    )
    assumed: Annotated[bool | None, YesNo()] = Field(
        None, description="true where nobody measured this air: figures are told, nobody is warned.", examples=[True]
    )


if TYPE_CHECKING:
    CornerTable = Table
else:
    CornerTable = corner_table(JointTable, entry_chamfer=EntryChamferTable, undercut=UndercutTable)


class JointsTable(Table):
    """Joints that differ from [joint]: at the front or the back, or at one corner alone."""

    front: CornerTable | None = Field(None, description="Both corners at the front.")
    back: CornerTable | None = Field(None, description="Both corners at the back.")
    front_left: CornerTable | None = Field(None, description="The front left corner alone.")
    front_right: CornerTable | None = Field(None, description="The front right corner alone.")
    back_left: CornerTable | None = Field(None, description="The back left corner alone.")
    back_right: CornerTable | None = Field(None, description="The back right corner alone.")


class BoxTable(Table):
    """A whole box: four boards, four corners, and a bottom. Leave this table out for a single corner."""

    length: Size = Field(None, description="Outside, along the front.", examples=[300])
    width: Size = Field(None, description="Outside, from front to back.", examples=[200])
    height: Wide = Field(None, description="Of the boards; as much as joint.width.", examples=[96])
    inside_length: Size = Field(None, description="Between the left and the right board.", examples=[280])
    inside_width: Size = Field(None, description="Between the front and the back board.", examples=[176])
    inside_height: Wide = Field(None, description="Above the bottom.", examples=[81])
    tails_on: Annotated[Literal["sides", "ends"] | None, OneOf(("sides", "ends"))] = Field(
        None,
        description='Which boards carry tails: "sides" (left and right) or "ends" (front and back).',
        examples=["sides"],
    )
    back_above_bottom: Annotated[bool | None, YesNo()] = Field(
        None, description="true where the bottom slides in under the back, as in a drawer.", examples=[False]
    )
    front: SideTable | None = Field(None, description=SideTable.__doc__)
    back: SideTable | None = Field(None, description=SideTable.__doc__)
    left: SideTable | None = Field(None, description=SideTable.__doc__)
    right: SideTable | None = Field(None, description=SideTable.__doc__)
    joints: JointsTable | None = Field(None, description=JointsTable.__doc__)
    groove: GrooveTable | None = Field(None, description=GrooveTable.__doc__)
    panel: PanelTable | None = Field(None, description=PanelTable.__doc__)
    rough: RoughTable | None = Field(None, description=RoughTable.__doc__)


class Asked(Table):
    """A recipe for one hand-cut dovetailed corner, or for a whole box, as the maker wrote it. Lengths are in mm."""

    title: Annotated[str | None, Title()] = Field(
        None, description="A name for the joint and its folder of files.", examples=["my corner"]
    )
    author: Annotated[str | None, Title("the author")] = Field(
        None, description="Who designed it, for the heads of STEP files.", examples=["Ann Joiner"]
    )
    date: Annotated[str | None, Date()] = Field(
        None,
        description='The date of the design, for the heads of STEP files: "2026-11-29", or with a time, as in '
        '"2026-11-29 14:30".',
        examples=["2026-11-29"],
    )
    units: Annotated[Literal["mm", "in"], OneOf(("mm", "in"))] = Field(
        "mm", description='The unit of plain numbers: "mm" or "in".', examples=["mm"]
    )
    joint: JointTable = Field(default_factory=JointTable, description=JointTable.__doc__)
    tail_board: TailBoardTable = Field(default_factory=TailBoardTable, description=TailBoardTable.__doc__)
    pin_board: BoardTable = Field(default_factory=BoardTable, description="The board that carries the pins.")
    fit: FitTable = Field(default_factory=FitTable, description=FitTable.__doc__)
    entry_chamfer: EntryChamferTable = Field(default_factory=EntryChamferTable, description=EntryChamferTable.__doc__)
    undercut: UndercutTable = Field(default_factory=UndercutTable, description=UndercutTable.__doc__)
    finish: FinishTable = Field(default_factory=FinishTable, description=FinishTable.__doc__)
    kit: KitTable = Field(default_factory=KitTable, description=KitTable.__doc__)
    climate: ClimateTable = Field(default_factory=ClimateTable, description=ClimateTable.__doc__)
    paper: PaperTable = Field(default_factory=PaperTable, description=PaperTable.__doc__)
    print: PrintTable = Field(default_factory=PrintTable, description=PrintTable.__doc__)
    aids: AidsTable = Field(default_factory=AidsTable, description=AidsTable.__doc__)
    stock: StockTable | None = Field(None, description=StockTable.__doc__)
    box: BoxTable | None = Field(None, description=BoxTable.__doc__)


class ShopTables(Table):
    """What holds in your shop, for every recipe that does not say otherwise: the file shop.toml. Lengths are in mm."""

    author: Annotated[str | None, Title("the author")] = Field(
        None, description="Your name, for the heads of STEP files.", examples=["Ann Joiner"]
    )
    units: Annotated[Literal["mm", "in"] | None, OneOf(("mm", "in"))] = Field(
        None,
        description='The unit of plain numbers, here and in recipes that name none: "mm" or "in".',
        examples=["mm"],
    )
    kit: KitTable = Field(default_factory=KitTable, description=KitTable.__doc__)
    climate: ClimateTable = Field(default_factory=ClimateTable, description=ClimateTable.__doc__)
    paper: PaperTable = Field(default_factory=PaperTable, description=PaperTable.__doc__)
    print: PrintTable = Field(default_factory=PrintTable, description=PrintTable.__doc__)
    aids: AidsTable = Field(default_factory=AidsTable, description=AidsTable.__doc__)
    woods: dict[str, Annotated[Wood, WoodField()]] = Field(
        default_factory=dict,
        description="Woods of your own, each a table under its name, which a recipe can then give.",
        examples=[{"plum": {"kind": "hardwood", "density": 750}}],
    )


# --- all keys --------------------------------------------------------------------------------------


@cache
def known_keys() -> dict[str, Any]:
    """Every key with its example value: {"joint.width": 96, ...}."""
    return dict(keys_of(Asked))


def shop_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of shop.toml."""
    return {"$schema": DRAFT, "$id": "urn:halfpin:shop:1", **schema_of(ShopTables)}


def recipe_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of a recipe, with which an editor can complete and check one. What a corner needs is
    required only without a table [box]: in a box it may follow from other sizes, or from single boards."""
    return {
        "$schema": DRAFT,
        "$id": "urn:halfpin:recipe:1",
        **schema_of(Asked),
        "if": {"required": ["box"]},
        "else": {"required": [*NEEDED], "properties": {table: {"required": [key]} for table, key in NEEDED.items()}},
    }
