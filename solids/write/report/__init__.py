"""report.json: the recipe as resolved, what was chosen and why, layout, proof, and the files with their hashes."""

from __future__ import annotations

from solids.write.report.file import report_bytes, report_schema, reread
from solids.write.report.making.reports import make_report, piece_report
from solids.write.report.records.recipe import wood_record
from solids.write.report.records.record import NAME, FileRecord, file_record, sha256
from solids.write.report.records.reports import SCHEMA_ID, BoxReport, Report

__all__ = [
    "NAME",
    "SCHEMA_ID",
    "BoxReport",
    "FileRecord",
    "Report",
    "file_record",
    "make_report",
    "piece_report",
    "report_bytes",
    "report_schema",
    "reread",
    "sha256",
    "wood_record",
]
