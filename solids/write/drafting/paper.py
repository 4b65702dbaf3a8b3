"""Sheets of paper and the scales of drawings. ISO 216: A4 is 210 x 297 mm, A3 297 x 420 mm. Letter is 8 1/2 x 11 in.

Frames keep 20 mm at the filing edge and 10 mm at the others (ISO 5457, from a secondary source)."""

from __future__ import annotations

from dataclasses import dataclass

from solids.base.geometry import PlanePoint
from solids.base.messages import Units
from solids.recipe.tables.resolved import PaperName

FILING_MARGIN, MARGIN = 20.0, 10.0

SCALES = (10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01)
"""The scales of ISO 5455, largest first."""


@dataclass(frozen=True)
class PaperSize:
    """One sheet, in mm."""

    name: PaperName
    width: float
    height: float

    def turned(self) -> PaperSize:
        """The same sheet on its side."""
        return PaperSize(self.name, self.height, self.width)

    @property
    def frame(self) -> tuple[PlanePoint, PlanePoint]:
        """Lower left and upper right corner of the frame; the filing edge is on the left."""
        return (FILING_MARGIN, MARGIN), (self.width - MARGIN, self.height - MARGIN)

    @property
    def inner_width(self) -> float:
        """Between the frame's sides."""
        return self.width - FILING_MARGIN - MARGIN

    @property
    def inner_height(self) -> float:
        """Between the frame's foot and head."""
        return self.height - 2 * MARGIN


PAPERS: dict[PaperName, PaperSize] = {
    "A4": PaperSize("A4", 210.0, 297.0),
    "Letter": PaperSize("Letter", 215.9, 279.4),
    "A3": PaperSize("A3", 297.0, 420.0),
}


def scale_in_words(scale: float) -> str:
    """ "1:2", "1:1", "5:1"."""
    return f"{scale:g}:1" if scale >= 1 else f"1:{1 / scale:g}"


def units_in_words(units: Units) -> str:
    """What a drawing says about its dimensions."""
    return "dimensions in inches" if units == "in" else "dimensions in mm"
