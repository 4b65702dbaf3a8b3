"""The record of the shop aids of a joint, and how it is read back."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import ValidationError

from solids import __version__
from solids.base.errors import ReadBackError
from solids.base.messages import Units, said
from solids.write.report.making.joint import finding_record
from solids.write.report.records.aids import AidRecord, AidsReport, PrintRecord
from solids.write.report.records.record import Tool

if TYPE_CHECKING:
    from solids.aids.catalogue import Proved


def aids_report(aids: Sequence[Proved], units: Units) -> AidsReport:
    """How each aid is printed, and every check of it, in the reader's units."""
    return AidsReport(tool=Tool(version=__version__), aids=tuple(_aid_record(proved, units) for proved in aids))


def _aid_record(proved: Proved, units: Units) -> AidRecord:
    return AidRecord(
        name=proved.aid.name,
        title=said(proved.aid.title, units),
        purpose=said(proved.aid.purpose, units),
        printed=_print_record(proved),
        checks=tuple(map(finding_record, proved.findings)),
    )


def _print_record(proved: Proved) -> PrintRecord | None:
    way, taken = proved.way, proved.takes
    if way is None or taken is None:
        return None
    return PrintRecord(
        layer_mm=way.layer,
        line_mm=way.line,
        walls=way.walls,
        skins=way.skins,
        infill=way.infill,
        grams=taken.grams,
        minutes=taken.minutes,
        copies=proved.aid.copies,
    )


def reread_aids(record: AidsReport, path: Path) -> None:
    """ReadBackError unless the file on disk holds this record."""
    try:
        same = AidsReport.model_validate_json(path.read_bytes()) == record
    except ValidationError as err:
        raise ReadBackError(f"{path.name} does not follow its own schema: {err.error_count()} errors") from err
    if not same:
        raise ReadBackError(f"{path.name} does not hold what was meant")
