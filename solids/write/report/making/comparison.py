"""A comparison of layouts as JSON, for `halfpin compare --json`."""

from __future__ import annotations

import json
from collections.abc import Iterable

from pydantic import Field

from solids.bench.assumed import WoodFigures
from solids.bench.comparing import Candidate
from solids.write.report.making.bench import strength_record
from solids.write.report.records.record import Number, Record
from solids.write.report.records.wood import StrengthRecord

Ends = tuple[Number, Number]


class OverWoodsRecord(Record):
    """What hangs on the wood, over common woods, each from the least to the most: the loads at which the joint first
    gives, null where no strength is known; what gives first without glue; and the shares of right joints."""

    glued_n: Ends | None
    dry_n: Ends | None
    dry_parts: tuple[str, ...]
    racked_n_m: Ends | None
    right_share: Ends
    pared_share: Ends


class CandidateRecord(Record):
    """One layout: what was tried, and its figures, or why it is refused (then all figures are null)."""

    corner: str = Field(description="the corners of a box that it is for; empty for a joint alone")
    look: str | None = Field(description="the look that chose pins, half pins and tails; null for the recipe's own")
    tails: int | None
    slope: str | None
    refusal: str
    tail_widths_mm: tuple[Number, ...]
    slope_ratio: Number | None
    strength: StrengthRecord | None
    right_share: Number | None = Field(description="share of joints that a hand gets right off the saw")
    pared_share: Number | None = Field(description="share of joints that are right once what is tight is pared")
    over_common_woods: OverWoodsRecord | None = Field(
        description="where the recipe names no wood; the figures above are then for one that is assumed"
    )
    widest_chisel_between_tails_mm: Number | None
    widest_chisel_in_sockets_mm: Number | None
    own_chisels_mm: tuple[Number, ...] = Field(description="those of the kit that go into every socket")
    minutes: Number | None = Field(description="half-way between the least and the most")
    least_minutes: Number | None = Field(description="for a practised hand")
    most_minutes: Number | None = Field(description="for an unhurried one")
    warnings: tuple[str, ...]
    failures: tuple[str, ...]


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
        slope_ratio=layout.ratio if layout else None,
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
