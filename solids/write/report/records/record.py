"""What all reports share. Records are strict and frozen, and their numbers are the same on every machine."""

from __future__ import annotations

import hashlib
from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

NAME = "report.json"
FROZEN_WORDS = (
    "what the maker wrote and what was chosen, as a recipe in TOML: `halfpin build report.json` makes the same solids "
    "from it; null for a corner of a box"
)

DIGITS = 9
"""Decimals kept. A femtometre is noise, and noise differs from machine to machine."""

Number = Annotated[float, AfterValidator(lambda value: round(value, DIGITS) + 0.0)]


class Record(BaseModel):
    """Base of all records: no unknown keys, nothing changes after it is made, no NaN."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, defer_build=True)


class Tool(Record):
    """Who wrote this file."""

    name: Literal["halfpin"] = "halfpin"
    version: str


class ChoiceRecord(Record):
    """A value that the recipe left out, the rule that chose it, and where the rule is from."""

    key: str
    value: str
    rule: str
    source: str = ""


class FindingRecord(Record):
    """One judgement of the proof."""

    code: str
    severity: Literal["pass", "note", "warning", "fail"]
    sentence: str
    place: str
    measured: Number | None
    limit: Number | None
    unit: str
    remedy: str
    source: str = Field(description="where the limit comes from; empty where it rests on no figure of the trade")


class FileRecord(Record):
    """One file beside this report."""

    name: str
    holds: str
    bytes: int
    sha256: str = Field(pattern="^[0-9a-f]{64}$")
    stale: bool = Field(description="made from an earlier state of the recipe, or by another version")


def file_record(name: str, holds: str, data: bytes) -> FileRecord:
    """Size and hash of one file that was just made."""
    return FileRecord(name=name, holds=holds, bytes=len(data), sha256=sha256(data), stale=False)


def sha256(data: bytes) -> str:
    """SHA-256 (FIPS 180-4) as 64 hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()
