"""All drawings of a box, made once: the pages to print, and each kind on one sheet, for CAD and as a picture."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import count

from solids.proof.assembly import PieceProof
from solids.write.drafting.pictorial import isometric
from solids.write.drafting.sheet import Sheet, placed
from solids.write.drafting.whole.board_views import board_pages
from solids.write.drafting.whole.cuts import sections_page
from solids.write.drafting.whole.elevations import elevations_page
from solids.write.drafting.whole.framed import framed
from solids.write.drafting.whole.pictures import pictures_page
from solids.write.drafting.whole.planes import planes_of


@dataclass(frozen=True)
class Drawings:
    """The drawings of a box: the sheets of each kind, by its name."""

    kinds: Mapping[str, tuple[Sheet, ...]]

    @property
    def pages(self) -> tuple[Sheet, ...]:
        """All sheets in order."""
        return tuple(sheet for sheets in self.kinds.values() for sheet in sheets)

    def sheet(self, kind: str) -> Sheet:
        """The sheets of one kind side by side, as one."""
        first, *_ = sheets = self.kinds[kind]
        moved = (placed(sheet.items, 1.0, (place * first.width, 0.0)) for place, sheet in enumerate(sheets))
        items = tuple(item for sheet in moved for item in sheet)
        return replace(first, width=first.width * len(sheets), items=items)


def drawings_of(proof: PieceProof) -> Drawings:
    """Draws a proved box. InputError where even the smallest scale does not fit the paper."""
    planes, picture = planes_of(proof.box, proof.finished), isometric(proof.finished)
    pages = {
        "views": [elevations_page(proof, planes, picture)],
        "sections": [sections_page(proof, planes)],
        "boards": board_pages(proof),
        "assembly": [pictures_page(proof, picture)],
    }
    numbers, whole = count(1), sum(map(len, pages.values()))
    return Drawings(
        {kind: tuple(framed(proof, page, next(numbers), whole) for page in made) for kind, made in pages.items()}
    )
