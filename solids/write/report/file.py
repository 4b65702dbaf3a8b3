"""report.json as bytes, its schema, and reading it back.

JSON (RFC 8259), UTF-8. The JSON Schema (2020-12) of each kind of report comes from its model in `records/` and is
printed by `halfpin schema report` and `halfpin schema box-report`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from solids.base.errors import ReadBackError
from solids.base.json_schema import schema_of
from solids.write.report.records.record import Record
from solids.write.report.records.reports import BoxReport, Report


def report_bytes(report: Record) -> bytes:
    """The report as indented JSON with a newline at the end."""
    plain = report.model_dump(mode="json", by_alias=True)
    return (json.dumps(plain, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode("utf-8")


def report_schema(model: type[Report | BoxReport] = Report) -> dict[str, Any]:
    """The JSON Schema of a report of some model."""
    name = model.model_fields["schema_id"].default
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "$id": name, **schema_of(model)}


def reread(path: Path, hashes: Mapping[str, str], model: type[Record] = Report) -> None:
    """Reads a report of some model back and compares its list of files with `hashes`, by name; ReadBackError where they
    differ."""
    try:
        report = model.model_validate_json(path.read_bytes())
    except ValidationError as err:
        raise ReadBackError(f"{path.name} does not follow its own schema: {err.error_count()} errors") from err
    listed = {record["name"]: record["sha256"] for record in report.model_dump(include={"files"})["files"]}
    if listed != dict(hashes):
        raise ReadBackError(f"{path.name} does not list the files beside it")
