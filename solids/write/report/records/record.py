"""What all reports share. Records are strict and frozen, and their numbers are the same on every machine."""

from __future__ import annotations

import hashlib
from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

NAME = "report.json"

SCHEMA_WORDS = "The kind of this report and the version of its schema."
TOOL_WORDS = "Which tool wrote this report."
FROZEN_WORDS = (
    "What the maker wrote and what was chosen, as a recipe in TOML: `halfpin build report.json` makes the same solids "
    "from it; null for a corner of a box."
)
CHOICES_WORDS = "Every value that the recipe left out, with the rule that chose it."
NOTICES_WORDS = "What the maker should know about the recipe or this run, in sentences."
FILES_WORDS = "The files beside this report, but for the report itself; empty where none were written."
"""What is said of keys that every report has."""

DIGITS = 9
"""Decimals kept. A femtometre is noise, and noise differs from machine to machine."""

Number = Annotated[float, AfterValidator(lambda value: round(value, DIGITS) + 0.0)]


class Record(BaseModel):
    """Base of all records: no unknown keys, nothing changes after it is made, no NaN."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, defer_build=True)


class Tool(Record):
    """Who wrote this file."""

    name: Literal["halfpin"] = Field("halfpin", description="The name of the tool.")
    version: str = Field(description="The version of the tool.")


class ChoiceRecord(Record):
    """A value that the recipe left out, the rule that chose it, and where the rule is from."""

    key: str = Field(description="The key of the recipe that was left out.")
    value: str = Field(description="The value that was chosen, in words.")
    rule: str = Field(description="The rule that chose it.")
    source: str = Field("", description="Where the rule comes from: a published source, or common practice.")


class FindingRecord(Record):
    """One finding of the proof."""

    code: str = Field(description="A short name for what was looked at, which stays the same for scripts.")
    severity: Literal["pass", "note", "warning", "fail"] = Field(
        description="How grave it is: pass, note, warning or fail. What fails must not be cut."
    )
    sentence: str = Field(description="What was found, in words.")
    place: str = Field(description="Where on the boards it is, in words; empty where it concerns all of them.")
    measured: Number | None = Field(description="What was measured, in `unit`; null where there is no figure.")
    limit: Number | None = Field(description="The limit it was held against, in `unit`; null where there is none.")
    unit: str = Field(description="The unit of both figures, as in mm, mm3, N or %; empty for a count or a ratio.")
    remedy: str = Field(description="What to do about it; empty where nothing needs doing.")
    source: str = Field(description="Where the limit comes from; empty where it rests on no figure of the trade.")


class FileRecord(Record):
    """One file beside this report."""

    name: str = Field(description="The name of the file, with its folder where it lies in one.")
    holds: str = Field(description="What the file holds.")
    bytes: int = Field(description="Size of the file in bytes.")
    sha256: str = Field(pattern="^[0-9a-f]{64}$", description="SHA-256 of its bytes, as 64 hexadecimal digits.")
    stale: bool = Field(description="true where it was made from an earlier recipe, or by another version.")


def file_record(name: str, holds: str, data: bytes) -> FileRecord:
    """Size and hash of one file that was just made."""
    return FileRecord(name=name, holds=holds, bytes=len(data), sha256=sha256(data), stale=False)


def sha256(data: bytes) -> str:
    """SHA-256 (FIPS 180-4) as 64 hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()
