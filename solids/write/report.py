"""report.json: the recipe as resolved, what was chosen and why, layout, proof, and the files with their hashes.

JSON (RFC 8259), UTF-8. Its own JSON Schema (2020-12) comes from the models here and is printed by
`halfpin schema report`. Every key that holds a length, angle, area or volume carries its unit.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError

from solids import __version__
from solids.errors import ReadBackError
from solids.findings import Finding
from solids.layout import Layout, State
from solids.recipe.resolved import Board, Recipe

if TYPE_CHECKING:
    from solids.fit import Proof

SCHEMA_ID = "urn:halfpin:report:1"
NAME = "report.json"
DIGITS = 9
"""Decimals kept: a femtometre is noise, and noise differs between machines."""

Number = Annotated[float, AfterValidator(lambda value: round(value, DIGITS) + 0.0)]


class Record(BaseModel):
    """Base of all records: no unknown keys, nothing changes after it is made, no NaN."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class Tool(Record):
    """Who wrote this file."""

    name: Literal["halfpin"] = "halfpin"
    version: str


class WoodRecord(Record):
    """A wood; its density at 12 % moisture and where that figure comes from."""

    name: str
    botanical: str
    kind: Literal["hardwood", "softwood"]
    density_kg_m3: Number
    source: str


class BoardRecord(Record):
    """A board as resolved."""

    thickness_mm: Number
    length_mm: Number
    proud_mm: Number
    sawn: Literal["flat", "quarter"]
    wood: WoodRecord


class RecipeRecord(Record):
    """The recipe with nothing left out."""

    title: str
    units: Literal["mm", "in"]
    kind: Literal["through", "half-blind"]
    width_mm: Number
    tails: int
    slope_ratio: Number = Field(description="N of the slope 1:N")
    slope_deg: Number
    pin_mm: Number
    half_pin_mm: Number
    spacing: str
    allow_thin_half_pin: bool
    lap_mm: Number
    tail_board: BoardRecord
    pin_board: BoardRecord
    flank_gap_mm: Number
    finish_ends: Literal["flush", "proud"]
    finish_chamfer_mm: Number
    finish_planing_mm: Number


class ChoiceRecord(Record):
    """A value that the recipe left out, and the rule that chose it."""

    key: str
    value: str
    rule: str


class TailRecord(Record):
    """One tail, from the reference edge: its edges at the finished face and its width at three planes."""

    number: int
    left_mm: Number
    right_mm: Number
    width_mm: Number
    raw_end_width_mm: Number
    neck_width_mm: Number


class PinRecord(Record):
    """One pin as cut, half pins first and last: its width at the show face and at the inside face."""

    number: int
    narrow_mm: Number
    wide_mm: Number


class StateRecord(Record):
    """One state of the corner: how far wood reaches, and exact volumes."""

    name: Literal["as cut", "as finished"]
    tail_end_y_mm: Number
    pin_end_z_mm: Number
    show_face_y_mm: Number
    show_face_z_mm: Number
    chamfer_mm: Number
    tail_board_mm3: Number
    pin_board_mm3: Number


class LayoutRecord(Record):
    """Where every tail and pin falls."""

    depth_mm: Number
    tails: tuple[TailRecord, ...]
    pins: tuple[PinRecord, ...]
    raw_end_gaps_mm: tuple[Number, ...] = Field(description="between the tails on the tail board's raw end")
    flank_area_mm2: Number
    free_play_mm: Number
    states: tuple[StateRecord, ...]


class OverlapPlaceRecord(Record):
    """Where the boards overlap."""

    place: str
    volume_mm3: Number


class OverlapRecord(Record):
    """The overlap of the seated boards by three ways; null where a way gave no answer."""

    closed_form_mm3: Number
    open_cascade_mm3: Number
    manifold_mm3: Number | None
    places: tuple[OverlapPlaceRecord, ...]


class FindingRecord(Record):
    """One judgement of the proof."""

    code: str
    severity: Literal["pass", "warning", "fail"]
    sentence: str
    place: str
    measured: Number | None
    limit: Number | None
    unit: str
    remedy: str


class ProofRecord(Record):
    """Whether the joint goes together, and all findings."""

    passes: bool
    overlap: OverlapRecord
    findings: tuple[FindingRecord, ...]


class FileRecord(Record):
    """One file beside this report."""

    name: str
    holds: str
    bytes: int
    sha256: str = Field(pattern="^[0-9a-f]{64}$")


class Report(Record):
    """Everything about one corner."""

    schema_id: Literal["urn:halfpin:report:1"] = Field("urn:halfpin:report:1", alias="schema")
    tool: Tool
    title: str
    recipe: RecipeRecord
    choices: tuple[ChoiceRecord, ...]
    notices: tuple[str, ...]
    layout: LayoutRecord
    proof: ProofRecord | None
    files: tuple[FileRecord, ...]


# --- out -----------------------------------------------------------------------------------------


def make_report(layout: Layout, proof: Proof | None = None, files: Sequence[FileRecord] = ()) -> Report:
    """The report of a layout; without a proof where only the arithmetic was asked for."""
    recipe = layout.recipe
    return Report(
        tool=Tool(version=__version__),
        title=recipe.title,
        recipe=_recipe(recipe),
        choices=tuple(ChoiceRecord(key=c.key, value=c.value, rule=c.rule) for c in recipe.choices),
        notices=recipe.notices,
        layout=_layout(layout),
        proof=_proof(proof) if proof else None,
        files=tuple(files),
    )


def report_bytes(report: Report) -> bytes:
    """The report as indented JSON with a newline at the end."""
    plain = report.model_dump(mode="json", by_alias=True)
    return (json.dumps(plain, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode("utf-8")


def report_schema() -> dict[str, Any]:
    """The JSON Schema of a report."""
    schema = Report.model_json_schema(by_alias=True)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "$id": SCHEMA_ID, **schema}


def file_record(name: str, holds: str, data: bytes) -> FileRecord:
    """Size and hash of one file."""
    return FileRecord(name=name, holds=holds, bytes=len(data), sha256=sha256(data))


def sha256(data: bytes) -> str:
    """SHA-256 (FIPS 180-4) as 64 hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()


def _recipe(recipe: Recipe) -> RecipeRecord:
    return RecipeRecord(
        title=recipe.title,
        units=recipe.units,
        kind=recipe.kind,
        width_mm=recipe.width,
        tails=len(recipe.tail_shares),
        slope_ratio=recipe.slope_ratio,
        slope_deg=math.degrees(math.atan(1 / recipe.slope_ratio)),
        pin_mm=recipe.pin,
        half_pin_mm=recipe.half_pin,
        spacing=recipe.spacing,
        allow_thin_half_pin=recipe.allow_thin_half_pin,
        lap_mm=recipe.lap,
        tail_board=_board(recipe.tail_board),
        pin_board=_board(recipe.pin_board),
        flank_gap_mm=recipe.flank_gap,
        finish_ends=recipe.finish.ends,
        finish_chamfer_mm=recipe.finish.chamfer,
        finish_planing_mm=recipe.finish.planing,
    )


def _board(board: Board) -> BoardRecord:
    wood = board.wood
    return BoardRecord(
        thickness_mm=board.thickness,
        length_mm=board.length,
        proud_mm=board.proud,
        sawn=board.sawn,
        wood=WoodRecord(
            name=wood.name,
            botanical=wood.botanical,
            kind=wood.kind,
            density_kg_m3=wood.density,
            source=wood.source,
        ),
    )


def _layout(layout: Layout) -> LayoutRecord:
    raw = layout.as_cut.tail_end
    narrow, wide = layout.pin_widths(layout.depth), layout.pin_widths(0.0)
    return LayoutRecord(
        depth_mm=layout.depth,
        tails=tuple(
            TailRecord(
                number=tail.number,
                left_mm=tail.left,
                right_mm=tail.right,
                width_mm=tail.width,
                raw_end_width_mm=layout.tail_width(tail, raw),
                neck_width_mm=layout.tail_width(tail, 0.0),
            )
            for tail in layout.tails
        ),
        pins=tuple(
            PinRecord(number=number, narrow_mm=pair[0], wide_mm=pair[1])
            for number, pair in enumerate(zip(narrow, wide, strict=True), start=1)
        ),
        raw_end_gaps_mm=layout.tail_board_gaps(raw),
        flank_area_mm2=layout.flank_area,
        free_play_mm=layout.free_play(),
        states=tuple(_state(layout, state) for state in (layout.as_cut, layout.as_finished)),
    )


def _state(layout: Layout, state: State) -> StateRecord:
    return StateRecord(
        name=state.name,
        tail_end_y_mm=state.tail_end,
        pin_end_z_mm=state.pin_end,
        show_face_y_mm=state.show_y,
        show_face_z_mm=state.show_z,
        chamfer_mm=state.chamfer,
        tail_board_mm3=layout.tail_board_volume(state),
        pin_board_mm3=layout.pin_board_volume(state),
    )


def _proof(proof: Proof) -> ProofRecord:
    overlap = proof.overlap
    second = overlap.second_opinion
    return ProofRecord(
        passes=proof.passes,
        overlap=OverlapRecord(
            closed_form_mm3=overlap.closed_form,
            open_cascade_mm3=overlap.kernel,
            manifold_mm3=None if math.isnan(second) else second,
            places=tuple(OverlapPlaceRecord(place=p.place, volume_mm3=p.volume) for p in overlap.places),
        ),
        findings=tuple(finding_record(finding) for finding in proof.findings),
    )


def finding_record(finding: Finding) -> FindingRecord:
    """A finding as a report holds it; a NaN becomes null."""

    def number(value: float | None) -> float | None:
        return None if value is None or math.isnan(value) else value

    return FindingRecord(
        code=finding.code,
        severity=finding.severity,
        sentence=finding.sentence,
        place=finding.place,
        measured=number(finding.measured),
        limit=number(finding.limit),
        unit=finding.unit,
        remedy=finding.remedy,
    )


# --- in ------------------------------------------------------------------------------------------


def reread(path: Path, folder_files: Mapping[str, bytes]) -> None:
    """Reads a report back and compares every listed file with its bytes; ReadBackError names the difference."""
    try:
        report = Report.model_validate_json(path.read_bytes())
    except ValidationError as err:
        raise ReadBackError(f"{path.name} does not follow its own schema: {err.error_count()} errors") from err
    listed = {record.name: record.sha256 for record in report.files}
    if listed != {name: sha256(data) for name, data in folder_files.items()}:
        raise ReadBackError(f"{path.name} does not list the files beside it")
