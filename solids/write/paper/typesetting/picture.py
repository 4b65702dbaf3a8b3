"""A drawing within running text."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.lib.units import mm
from reportlab.platypus import Flowable

from solids.write.drafting.sheet import Item
from solids.write.paper.typesetting.pdf import draw_items


class Picture(Flowable):
    """Items drawn in a rectangle of a size in mm, from its lower left corner."""

    def __init__(self, items: Sequence[Item], width: float, height: float) -> None:
        super().__init__()
        self.width, self.height = width * mm, height * mm
        self._items = items

    def draw(self) -> None:
        """Draws it, when platypus asks."""
        self.canv.saveState()
        draw_items(self.canv, self._items)
        self.canv.restoreState()
