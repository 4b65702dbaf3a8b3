"""What a report holds of a recipe: woods, air and boards, and every key of a joint or box with nothing left out.

Every key that holds a length, angle, area or volume carries its unit.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from solids.recipe.tables.box_resolved import GrooveEnds
from solids.recipe.tables.panel import PanelKind
from solids.recipe.tables.resolved import EdgeName
from solids.wood import Wood
from solids.wood.glues import GlueKind
from solids.write.report.records.record import Number, Record

Sawn = Literal["flat", "quarter"]

# --- wood and air ----------------------------------------------------------------------------------


class WoodMovementRecord(Record):
    """How a wood moves: change as a share of the size, for 1 % of moisture content."""

    radial_per_percent: Number = Field(
        description="Change along the rays, as a share of the size, for 1 % of moisture content."
    )
    tangential_per_percent: Number = Field(
        description="Change along the rings, as a share of the size, for 1 % of moisture content."
    )
    source: str = Field(description="Where both figures come from.")


class WoodStrengthRecord(Record):
    """Averages of small clear pieces at 12 % moisture; no design values."""

    shear_mpa: Number = Field(description="Shear strength along the grain, in MPa.")
    bending_mpa: Number = Field(description="Bending strength (modulus of rupture), in MPa.")
    compression_mpa: Number | None = Field(
        description="Compression across the grain at the proportional limit, in MPa; null where it is not known."
    )
    source: str = Field(description="Where these figures come from.")


class WoodRecord(Record):
    """A wood; its density at 12 % moisture and where that figure comes from; null where nothing more is known."""

    name: str = Field(description="The name of the wood in the trade.")
    botanical: str = Field(description="Its botanical name; empty for a wood of the maker's own.")
    kind: Literal["hardwood", "softwood"] = Field(description="Hardwood or softwood, by the tree it comes from.")
    density_kg_m3: Number = Field(description="Density at 12 % moisture, in kg/m3.")
    source: str = Field(description="Where the density comes from.")
    movement: WoodMovementRecord | None = Field(description="How the wood moves; null where that is not known.")
    strength: WoodStrengthRecord | None = Field(description="What the wood bears; null where that is not known.")


class AirRecord(Record):
    """The air of a room, and the moisture content that wood comes to in it."""

    temperature_c: Number = Field(description="Temperature of the room, in degrees Celsius.")
    humidity_percent: Number = Field(description="Relative humidity of the room, in %.")
    moisture_percent: Number = Field(description="Moisture content that wood comes to there, in %.")


# --- a joint ---------------------------------------------------------------------------------------


class BoardRecord(Record):
    """A board as resolved."""

    thickness_mm: Number = Field(
        description="Thickness at the thickest place, which gauges and geometry follow, in mm."
    )
    thinnest_mm: Number = Field(
        description="Thickness at the thinnest place, in mm; the same where the recipe gives one length."
    )
    cup_mm: Number = Field(description="How hollow the board is across its width, in mm; 0 for flat.")
    length_mm: Number = Field(description="Length from the baseline to the other end, without the joint, in mm.")
    proud_mm: Number = Field(description="How far its ends stand past the other board's show face as cut, in mm.")
    sawn: Sawn = Field(description="How the board was sawn from the log: flat or quarter.")
    wood: WoodRecord = Field(description="The wood of the board.")


class ListedRecord(Record):
    """What the maker gave one by one, each from the reference edge; empty where all are alike."""

    pins_mm: tuple[Number, ...] = Field(description="Widths of the full pins where they are narrowest, in mm.")
    half_pins_mm: tuple[Number, ...] = Field(
        description="Widths of the half pins at the reference edge and at the other, where they are narrowest, in mm."
    )
    slope_ratios: tuple[Number | None, ...] = Field(
        description="N of the slope 1:N of each flank, two for each tail; null for square, negative for outward."
    )
    faces_mm: tuple[tuple[Number, Number], ...] = Field(
        description="From the reference edge to both sides of each tail at the finished face, in mm."
    )
    edges: tuple[EdgeName, EdgeName] = Field(
        description="What stands at the reference edge and at the other: half pin or half tail."
    )


class GlueRecord(Record):
    """A glue, as its bottle says or as is usual for its kind."""

    kind: GlueKind = Field(description="The kind of glue, by its name in the trade.")
    open_minutes: Number = Field(
        description="From the first face that is brushed until the joint is closed, in minutes."
    )
    assembly_minutes: Number = Field(description="From the first face that is brushed to the last clamp, in minutes.")
    clamp_minutes: Number = Field(description="How long it stays in the clamps before it may be moved, in minutes.")
    spread_g_m2: Number = Field(description="How much glue goes on a glue line, in g/m2.")


class RecipeRecord(Record):
    """The recipe with nothing left out."""

    title: str = Field(description="The name of the joint, from which its folder is named.")
    author: str = Field(description="Who designed it, as the heads of STEP files say; empty if not named.")
    date: str = Field(description="The date of the design, as ISO 8601 has it; empty if not given.")
    units: Literal["mm", "in"] = Field(description="The unit of the recipe's plain numbers, in which texts are told.")
    kind: Literal["through", "half-blind"] = Field(description="Through, or half-blind as in a drawer front.")
    width_mm: Number = Field(description="Width of the joint from the reference edge to the other edge, in mm.")
    tails: int = Field(description="How many tails.")
    slope_ratio: Number = Field(description="N of the slope 1:N; of the steepest where they differ.")
    slope_deg: Number = Field(description="The same slope as an angle between a flank and square, in degrees.")
    pin_mm: Number = Field(
        description="Width of a full pin where it is narrowest, at the show face or the lap, in mm; the least where "
        "they differ."
    )
    half_pin_mm: Number = Field(
        description="Width of the half pins where they are narrowest, in mm; the lesser where they differ."
    )
    listed: ListedRecord | None = Field(description="What the maker gave one by one; null where all is alike.")
    mitre_mm: tuple[Number, Number] = Field(
        description="Width of the mitred shoulder at the reference edge and at the other, in mm; 0 for none."
    )
    rebate_mm: Number = Field(description="Depth of the rebate across the tail board's inside face, in mm; 0 for none.")
    spacing: str = Field(
        description="How the tails' widths were found: even, graduated toward the middle, drawn by eye, or listed one "
        "by one."
    )
    seed: int = Field(description="The number that tails by eye are drawn from; 0 for others.")
    allow_thin_half_pin: bool = Field(description="true where the maker insists on half pins thinner than the rule.")
    lap_mm: Number = Field(description="The wood left in front of the tails of a half-blind joint, in mm; else 0.")
    tail_board: BoardRecord = Field(description="The board that carries the tails.")
    pin_board: BoardRecord = Field(description="The board that carries the pins.")
    flank_gap_mm: Number = Field(description="Gap meant at each flank, normal to it, in mm; negative for a tight fit.")
    hand_sigma_mm: Number = Field(
        description="How far a flank strays from its knifed line, normal to it, as a standard deviation in mm."
    )
    hand_shift_mm: Number = Field(
        description="How far a board slips sideways while it is marked, as a standard deviation in mm; 0 for none."
    )
    entry_chamfer_width_mm: Number = Field(
        description="Leg of the chamfer on the inside edges of the tails, in mm; 0 for none."
    )
    entry_chamfer_back_mm: Number = Field(description="How far that chamfer stays back from the show face, in mm.")
    undercut_depth_mm: Number = Field(description="Depth of the hollow in the socket floors, in mm; 0 for flat floors.")
    undercut_land_mm: Number = Field(description="Flat left between that hollow and each face, in mm.")
    finish_ends: Literal["flush", "proud"] = Field(
        description="What becomes of the ends: flush (planed off) or proud (left standing, edges chamfered)."
    )
    finish_chamfer_mm: Number = Field(description="Chamfer round ends that are left proud, in mm; 0 for none.")
    finish_planing_mm: Number = Field(description="How much is planed off the show faces themselves, in mm.")
    kit_chisels_mm: tuple[Number, ...] = Field(description="Widths of the maker's chisels, in mm; empty if not named.")
    kit_saw_kerf_mm: Number = Field(description="Kerf of the dovetail saw, in mm; 0 if not named.")
    kit_knife_mm: Number = Field(description="Thickness of the marking knife, in mm; 0 if not named.")
    kit_cutters_mm: tuple[Number, ...] = Field(
        description="Diameters of the straight router cutters, in mm; empty if not named."
    )
    kit_bush_mm: Number = Field(description="Outside diameter of the router's guide bush, in mm; 0 if not named.")
    kit_scale_mm: Number = Field(description="How far apart the lines of the maker's rule are, in mm; 0 if not named.")
    glue: GlueRecord = Field(description="The glue that the piece is put together with.")
    climate_shop: AirRecord = Field(description="The air of the shop.")
    climate_home_dry: AirRecord = Field(description="The air of the room that the piece goes to, at its driest.")
    climate_home_damp: AirRecord = Field(description="The air of the room that the piece goes to, at its dampest.")
    paper_size: Literal["A4", "Letter", "A3"] = Field(description="The sheet to print on.")
    paper_corner_relief: bool = Field(
        description="true where a thin cutter's path runs into the corners, so that a square corner seats."
    )
    paper_dxf_units: Literal["mm", "in"] = Field(description="What a length of 1 in a DXF file is.")
    paper_dxf_version: Literal["R12", "R2010", "R2018"] = Field(description="The release of DXF files.")
    print_bed_mm: tuple[Number, Number] = Field(description="Length and breadth of the printer's bed, in mm.")
    print_nozzle_mm: Number = Field(description="Diameter of the printer's nozzle, in mm.")
    print_clearance_mm: Number = Field(description="Clearance of a printed fit, each side, in mm.")
    print_magnet_mm: tuple[Number, Number] = Field(
        description="Diameter and thickness of the disc magnets in printed aids, in mm."
    )
    aids_marker_body: Literal["plain", "waisted"] = Field(description="The form of the marking template's body.")
    aids_marker_slopes: tuple[Number, ...] = Field(
        description="N of each slope 1:N of the marking template; empty where it has that of the joint."
    )
    aids_marker_thickest_mm: Number = Field(
        description="The thickest board that the marking template reaches across, in mm; 0 if not named."
    )
    aids_marker_leg_mm: Number = Field(description="Length of the marking template's legs, in mm; 0 if not named.")
    aids_marker_words: str = Field(description="The maker's own words on the marking template; empty for none.")
    aids_marker_hang_hole_mm: Number = Field(
        description="Diameter of the hole to hang the marking template by, in mm; 0 for none."
    )


# --- a box -----------------------------------------------------------------------------------------


class GrooveRecord(Record):
    """The groove for the bottom, from the reference edge."""

    width_mm: Number = Field(description="Width of the groove, in mm; 0 for no bottom.")
    depth_mm: Number = Field(description="Depth of the groove, in mm.")
    up_mm: Number = Field(description="From the reference edge to the near side of the groove, in mm.")
    ends: GrooveEnds = Field(
        description="The groove's ends in the tail boards: hidden, stopped, through or plugged, as in the recipe."
    )


class LipRecord(Record):
    """The lip of a front: how far it reaches past the box on each side, and how thick it is."""

    thickness_mm: Number = Field(description="Its thickness, part of that of the front, in mm.")
    top_mm: Number = Field(description="How far it reaches past the box at the top, in mm; 0 for none there.")
    bottom_mm: Number = Field(description="The same at the bottom, in mm.")
    left_mm: Number = Field(description="The same at the left, in mm.")
    right_mm: Number = Field(description="The same at the right, in mm.")


class BoxRecipeRecord(Record):
    """The box as resolved. The joints' own keys stand in the corners."""

    author: str = Field(description="Who designed it, as the heads of STEP files say; empty if not named.")
    date: str = Field(description="The date of the design, as ISO 8601 has it; empty if not given.")
    inside_length_mm: Number = Field(description="Between the inside faces of the left and the right board, in mm.")
    inside_width_mm: Number = Field(description="Between the inside faces of the front and the back board, in mm.")
    height_mm: Number = Field(description="Height of the box: the width of its widest boards, in mm.")
    tails_on: Literal["sides", "ends"] = Field(
        description="Which boards carry tails: sides (left and right) or ends (front and back)."
    )
    back_above_bottom: bool = Field(description="true where the bottom slides in under the back, as in a drawer.")
    back_down_mm: Number = Field(description="How far the back's upper edge lies below those of the sides, in mm.")
    lip: LipRecord | None = Field(None, description="The lip of the front; null where it has none.")
    groove: GrooveRecord = Field(description="The groove for the bottom.")
    panel_kind: PanelKind = Field(description="What the bottom is made of: solid wood or plywood.")
    panel_grain: str = Field(description="Which way the bottom's grain runs: along the box's length or its width.")
    panel_wood: str = Field(description="The wood of the bottom, or of the faces of its plywood.")
    panel_sawn: Sawn | None = Field(description="How the bottom was sawn from the log; null for plywood.")
    panel_clearance_mm: Number = Field(description="Room at each edge of the bottom besides that for movement, in mm.")
    panel_grows: Number = Field(
        description="How much the bottom grows across its grain until the dampest time at home, as a share."
    )
    panel_shrinks: Number = Field(
        description="How much the bottom shrinks across its grain until the driest time at home, as a share."
    )
    rough_mm: tuple[Number, Number, Number] = Field(
        description="How much is added over length, width and thickness where a board is taken from the plank, in mm."
    )
    stock_mm: tuple[Number | None, Number | None] = Field(
        description="Length and width of the largest board that can be had, in mm; null where not named."
    )
    corners: dict[str, object] = Field(description="The recipe of each kind of corner, under the names of its corners.")


def wood_record(wood: Wood) -> WoodRecord:
    """A wood as reports and lists hold it."""
    moves, holds = wood.movement, wood.strength
    return WoodRecord(
        name=wood.name,
        botanical=wood.botanical,
        kind=wood.kind,
        density_kg_m3=wood.density,
        source=wood.source,
        movement=moves
        and WoodMovementRecord(
            radial_per_percent=moves.radial, tangential_per_percent=moves.tangential, source=moves.source
        ),
        strength=holds
        and WoodStrengthRecord(
            shear_mpa=holds.shear_mpa,
            bending_mpa=holds.bending_mpa,
            compression_mpa=holds.compression_mpa,
            source=holds.source,
        ),
    )
