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
    BackTable,
    FrontTable,
    GrooveTable,
    Hollow,
    PanelTable,
    PaperTable,
    RoughTable,
    SideTable,
    Size,
    Thick,
    Wide,
    corner_table,
)
from solids.recipe.tables.dates import Date
from solids.recipe.tables.divider_schema import DividerTable
from solids.recipe.tables.feet import FeetTable
from solids.recipe.tables.fields import Length, Number, OneOf, Spacing, Title, Whole, WoodField, YesNo
from solids.recipe.tables.fit_schema import EntryChamferTable, FinishTable, FitTable, Step, UndercutTable
from solids.recipe.tables.glue_schema import GlueTable
from solids.recipe.tables.keys import keys_of, tables_listed
from solids.recipe.tables.lid_schema import LidTable
from solids.recipe.tables.listed_fields import Edges, Flanks, FlankSlopes, GivenFlank, HalfPins, MitreTable, Pins
from solids.recipe.tables.marker_schema import AidsTable
from solids.recipe.tables.opening_schema import OpeningTable
from solids.recipe.tables.resolved import EdgeName
from solids.recipe.tables.stock_schema import StockTable
from solids.recipe.tables.table import Table
from solids.recipe.tables.tools_schema import KitTable, PrintTable
from solids.wood import Climate, Wood

DRAFT = "https://json-schema.org/draft/2020-12/schema"

NEEDED = {"joint": "width", "tail_board": "thickness", "pin_board": "thickness"}
"""The sizes that a corner cannot do without, by table."""

Edge = Annotated[float | None, Length(tol.LEAST_FEATURE)]


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
    lid_tails: Annotated[int | None, Whole(1, tol.MOST_TAILS - 1)] = Field(
        None, description="How many of the tails are on the lid that is sawn off a box.", examples=[1]
    )
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
        examples=["even", [20, 25, 20]],
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
        None, description="Whether you insist on half pins thinner than the rule.", examples=[False]
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
        None, description="Thickness of the board, or a list of what you measured at several places.", examples=[12]
    )
    cup: Hollow = Field(None, description="How hollow the board is across its width; 0 for flat.", examples=[0])
    length: Annotated[float | None, Length(1.0)] = Field(
        None, description="Length of the board from the baseline, without the joint.", examples=[150]
    )
    wood: Annotated[Wood | None, WoodField()] = Field(
        None,
        description='A wood by its name, or your own, as in { name = "plum", kind = "hardwood", density = 750 }.',
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
        None,
        description="Whether nobody measured this air: figures are told then, and nobody is warned.",
        examples=[True],
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
    height: Wide = Field(None, description="Of the boards, which is the width of their joints.", examples=[96])
    inside_length: Size = Field(None, description="Between the left and the right board.", examples=[280])
    inside_width: Size = Field(None, description="Between the front and the back board.", examples=[176])
    inside_height: Wide = Field(None, description="Above the bottom.", examples=[81])
    tails_on: Annotated[Literal["sides", "ends"] | None, OneOf(("sides", "ends"))] = Field(
        None,
        description='Which boards carry tails: "sides" (left and right) or "ends" (front and back).',
        examples=["sides"],
    )
    back_above_bottom: Annotated[bool | None, YesNo()] = Field(
        None, description="Whether the bottom slides in under the back, as in a drawer.", examples=[False]
    )
    front: FrontTable | None = Field(None, description=FrontTable.__doc__)
    back: BackTable | None = Field(None, description=BackTable.__doc__)
    left: SideTable | None = Field(None, description=SideTable.__doc__)
    right: SideTable | None = Field(None, description=SideTable.__doc__)
    joints: JointsTable | None = Field(None, description=JointsTable.__doc__)
    groove: GrooveTable | None = Field(None, description=GrooveTable.__doc__)
    panel: PanelTable | None = Field(None, description=PanelTable.__doc__)
    feet: FeetTable | None = Field(None, description=FeetTable.__doc__)
    rough: RoughTable | None = Field(None, description=RoughTable.__doc__)
    lid: LidTable | None = Field(None, description=LidTable.__doc__)
    divider: tuple[DividerTable, ...] | None = Field(
        None,
        description="Dividers, or the shelves of a carcase, each in a table [[box.divider]] of its own.",
        examples=[[{"runs": "across", "at": 120, "thickness": 8}]],
    )


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
    glue: GlueTable = Field(default_factory=GlueTable, description=GlueTable.__doc__)
    climate: ClimateTable = Field(default_factory=ClimateTable, description=ClimateTable.__doc__)
    paper: PaperTable = Field(default_factory=PaperTable, description=PaperTable.__doc__)
    print: PrintTable = Field(default_factory=PrintTable, description=PrintTable.__doc__)
    aids: AidsTable = Field(default_factory=AidsTable, description=AidsTable.__doc__)
    stock: StockTable = Field(default_factory=StockTable, description=StockTable.__doc__)
    box: BoxTable | None = Field(None, description=BoxTable.__doc__)
    opening: OpeningTable | None = Field(None, description=OpeningTable.__doc__)


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
    glue: GlueTable = Field(default_factory=GlueTable, description=GlueTable.__doc__)
    climate: ClimateTable = Field(default_factory=ClimateTable, description=ClimateTable.__doc__)
    paper: PaperTable = Field(default_factory=PaperTable, description=PaperTable.__doc__)
    print: PrintTable = Field(default_factory=PrintTable, description=PrintTable.__doc__)
    aids: AidsTable = Field(default_factory=AidsTable, description=AidsTable.__doc__)
    stock: StockTable = Field(default_factory=StockTable, description=StockTable.__doc__)
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


@cache
def listed_tables() -> dict[str, Any]:
    """Every key that holds a list of tables, with the model of one: {"box.divider": DividerTable}."""
    return dict(tables_listed(Asked))


def list_of(key: str) -> str:
    """The list of tables that a key like "box.divider.2.at" belongs to, as "box.divider"; "" where it is no such
    key."""
    for name in listed_tables():
        number, _, _ = key.removeprefix(f"{name}.").partition(".")
        if key.startswith(f"{name}.") and number.isdecimal():
            return name
    return ""


def is_key(key: str) -> bool:
    """Whether a recipe can have this key, also in one of a list of tables."""
    name = list_of(key)
    return key in known_keys() or (bool(name) and key.rpartition(".")[2] in listed_tables()[name].model_fields)


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
