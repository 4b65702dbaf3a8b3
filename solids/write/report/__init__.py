"""report.json: the recipe as resolved, what was chosen and why, layout, proof, and the files with their hashes.

JSON (RFC 8259), UTF-8. Its own JSON Schema (2020-12) comes from the models in `records.py` and is printed by
`halfpin schema report`.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from solids.base.errors import ReadBackError
from solids.write.report.making import finding_record, make_report, wood_record
from solids.write.report.record import Record
from solids.write.report.records import NAME, SCHEMA_ID, FileRecord, Report

__all__ = [
    "NAME",
    "SCHEMA_ID",
    "FileRecord",
    "Report",
    "file_record",
    "finding_record",
    "make_report",
    "report_bytes",
    "report_schema",
    "reread",
    "sha256",
    "wood_record",
]


def report_bytes(report: Record) -> bytes:
    """The report as indented JSON with a newline at the end."""
    plain = report.model_dump(mode="json", by_alias=True)
    return (json.dumps(plain, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode("utf-8")


def report_schema() -> dict[str, Any]:
    """The JSON Schema of a report."""
    schema = Report.model_json_schema(by_alias=True)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "$id": SCHEMA_ID, **schema}


def file_record(name: str, holds: str, data: bytes) -> FileRecord:
    """Size and hash of one file that was just made."""
    return FileRecord(name=name, holds=holds, bytes=len(data), sha256=sha256(data), stale=False)


def sha256(data: bytes) -> str:
    """SHA-256 (FIPS 180-4) as 64 hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()


def reread(path: Path, hashes: Mapping[str, str], model: type[Record] = Report) -> None:
    """Reads a report of some model back and compares what it lists with the files' names and hashes; ReadBackError
    where it does not agree."""
    try:
        report = model.model_validate_json(path.read_bytes())
    except ValidationError as err:
        raise ReadBackError(f"{path.name} does not follow its own schema: {err.error_count()} errors") from err
    listed = {record["name"]: record["sha256"] for record in report.model_dump(include={"files"})["files"]}
    if listed != dict(hashes):
        raise ReadBackError(f"{path.name} does not list the files beside it")
