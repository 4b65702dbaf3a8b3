"""A comparison of layouts as JSON, for `halfpin compare --json`."""

from __future__ import annotations

import json
from collections.abc import Iterable

from pydantic import Field

from solids.bench.assumed import WoodFigures
from solids.bench.comparing import Candidate
from solids.write.report.making.bench import strength_record
from solids.write.report.making.joint import finite
from solids.write.report.records.record import Number, Record
from solids.write.report.records.wood import StrengthRecord

Ends = tuple[Number, Number]


class OverWoodsRecord(Record):
    """What hangs on the wood, over common woods, each from the least to the most: the loads at which the joint first
    gives, null where no strength is known; what gives first without glue; and the shares of right joints."""

    glued_n: Ends | None = Field(description="The pull at which the glued joint first gives, in newtons.")
    dry_n: Ends | None = Field(description="The pull at which the joint without glue first gives, in newtons.")
    dry_parts: tuple[str, ...] = Field(description="What gives first without glue.")
    racked_n_m: Ends | None = Field(description="The moment at which the glued joint first gives, in newton metres.")
    right_share: Ends = Field(description="Share of joints that are right off the saw, from 0 to 1.")
    pared_share: Ends = Field(description="Share of joints that are right once what is tight is pared, from 0 to 1.")


class CandidateRecord(Record):
    """One layout: what was tried, and its figures, or why it is refused (then all figures are null)."""

    corner: str = Field(description="The corners of a box that it is for; empty for a joint alone.")
    look: str | None = Field(description="The look that chose pins, half pins and tails; null for the recipe's own.")
    tails: int | None = Field(description="How many tails; null where that was left to a recipe that is refused.")
    slope: str | None = Field(description="The slope that was tried, as in 1:7; null for the recipe's own.")
    refusal: str = Field(description="Why the layout is refused; empty where it is not.")
    tail_widths_mm: tuple[Number, ...] = Field(
        description="Widths of the tails at the finished face, from the reference edge, in mm."
    )
    slope_ratio: Number | None = Field(description="N of the slope 1:N; of the steepest where they differ.")
    strength: StrengthRecord | None = Field(description="What the joint holds; never a design value.")
    right_share: Number | None = Field(description="Share of joints that a hand gets right off the saw, from 0 to 1.")
    pared_share: Number | None = Field(
        description="Share of joints that are right once what is tight is pared, from 0 to 1."
    )
    over_common_woods: OverWoodsRecord | None = Field(
        description="Where the recipe names no wood, the same over common woods; the figures above are then for one "
        "that is assumed."
    )
    widest_chisel_between_tails_mm: Number | None = Field(
        description="Width of the widest chisel that goes between the tails, in mm; null where there is one tail."
    )
    widest_chisel_in_sockets_mm: Number | None = Field(
        description="Width of the widest chisel that goes into every socket of the pin board, in mm."
    )
    own_chisels_mm: tuple[Number, ...] = Field(
        description="Widths of those chisels of the kit that go into every socket, in mm."
    )
    minutes: Number | None = Field(description="About how many minutes it takes, half-way between least and most.")
    least_minutes: Number | None = Field(description="About how many minutes a practised hand takes.")
    most_minutes: Number | None = Field(description="About how many minutes an unhurried hand takes.")
    warnings: tuple[str, ...] = Field(description="Codes of the warnings about this layout.")
    failures: tuple[str, ...] = Field(description="What of this layout no hand can cut, in sentences.")


def comparison_bytes(candidates: Iterable[Candidate]) -> bytes:
    """All candidates as a JSON list with a newline at the end."""
    plain = [_record(candidate).model_dump(mode="json") for candidate in candidates]
    return (json.dumps(plain, indent=2, ensure_ascii=False) + "\n").encode("utf-8")


def _record(candidate: Candidate) -> CandidateRecord:
    layout, figures = candidate.layout, candidate.figures
    return CandidateRecord(
        corner=candidate.corner,
        look=candidate.look,
        tails=len(layout.tails) if layout else candidate.tails,
        slope=candidate.slope,
        refusal=candidate.refusal,
        tail_widths_mm=tuple(tail.width for tail in layout.tails) if layout else (),
        slope_ratio=finite(layout.ratios[0]) if layout else None,
        strength=strength_record(figures.strength) if figures else None,
        right_share=figures.hand.right if figures else None,
        pared_share=figures.hand.pared if figures else None,
        over_common_woods=_over_woods(figures.over_woods)
        if layout and figures and layout.recipe.wood_is_assumed
        else None,
        widest_chisel_between_tails_mm=figures.widest_between_tails if figures else None,
        widest_chisel_in_sockets_mm=figures.widest_in_sockets if figures else None,
        own_chisels_mm=figures.own_chisels if figures else (),
        minutes=figures.time.middle if figures else None,
        least_minutes=figures.time.least if figures else None,
        most_minutes=figures.time.most if figures else None,
        warnings=figures.warnings if figures else (),
        failures=figures.failures if figures else (),
    )


def _over_woods(found: WoodFigures) -> OverWoodsRecord:
    return OverWoodsRecord(
        glued_n=found.glued,
        dry_n=found.dry,
        dry_parts=found.dry_parts,
        racked_n_m=found.racked,
        right_share=found.right,
        pared_share=found.pared,
    )
