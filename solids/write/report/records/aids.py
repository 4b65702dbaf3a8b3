"""What `aids-checks.json` holds: how each shop aid is printed, and every check of it."""

from __future__ import annotations

from pydantic import Field

from solids.write.report.records.record import FindingRecord, Number, Record, Tool

CHECKS = "aids-checks.json"


class PrintRecord(Record):
    """How one aid is printed, and what that takes, about."""

    layer_mm: Number = Field(description="height of a layer: half the nozzle")
    line_mm: Number = Field(description="width of a line")
    walls: int = Field(description="lines side by side along every outline")
    skins: int = Field(description="whole layers under and over every level face")
    infill: Number = Field(description="share of the rest that a lattice fills, from 0 to 1")
    grams: Number = Field(description="filament for one, as PLA of 1.24 g/cm3")
    minutes: Number = Field(description="time for one on a plain printer, warming up included")
    copies: int = Field(description="how many of it stand on the plates")


class AidRecord(Record):
    """One shop aid."""

    name: str = Field(description="the name of its files, without their endings")
    title: str = Field(description="what it is called in the note")
    purpose: str = Field(description="what it is for, in a sentence")
    printed: PrintRecord | None = Field(description="how it is printed; null for one to mill")
    checks: tuple[FindingRecord, ...] = Field(description="every check, in the order in which they were made")


class AidsReport(Record):
    """The aids of one kind of joint."""

    tool: Tool = Field(description="who wrote this file")
    aids: tuple[AidRecord, ...] = Field(description="each aid that has files beside this one")
