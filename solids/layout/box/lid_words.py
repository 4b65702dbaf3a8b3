"""The lid of a box in words: where it is sawn off, or what board it is; how high the closed box is; and what the lid
does through the year."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base.amounts import fine
from solids.base.geometry import Span
from solids.base.messages import Key, Words, joined, message
from solids.layout.box.bottom import told_of_year, year_words
from solids.layout.box.fitted.halves import half_pins_left
from solids.layout.box.fitted.lid_board import lies_on, moves_by, outline, room_when_damp, tongue
from solids.layout.box.fitted.lining import room_within
from solids.layout.box.model import BoxLayout, with_top
from solids.recipe.tables.lid_resolved import Lid, LidBoard


def lid_words(box: BoxLayout) -> Words:
    """Where the lid is sawn off and what it leaves, or what board it is; empty if there is none."""
    lid = box.recipe.lid
    if lid is None:
        return _board_words(box)
    height = box.recipe.height
    told = (
        "The lid is sawn off once the box is glued up: the middle of the cut is {} above the lower edge. The kerf "
        "takes {}, and planing {} off each edge. Glued up the box is {} high; closed it is {}, of which the lid is {}. "
        "At the cut each half keeps a half pin of {} or wider."
    )
    sizes = (lid.at, lid.kerf, lid.planing, height, box.recipe.closed_height, height - lid.high, least_half_pin(box))
    return joined([message(told, *map(fine, sizes)), *_kept_words(box, lid)])


def _kept_words(box: BoxLayout, lid: Lid) -> Iterator[Words]:
    """What keeps the lid in its place, or that nothing does."""
    lining = lid.lining
    if lining is None:
        if lid.hinge is None:
            loose = "Nothing but its weight keeps the lid in its place; a lining ({}) or hinges ({}) would."
            yield message(loose, Key("box.lid.lining"), Key("box.lid.hinge"))
        return
    room = message("has {} of room there on each side", fine(lining.clearance))
    if not lining.clearance:
        room = message("has no room there: a lid that grows in damp air will stick")
    told = "The lid goes over a lining {} thick, which stands {} above the edge, and {}. Within it the box is {} by {}."
    sizes = fine(lining.thickness), fine(lining.stands), room
    yield message(told, *sizes, *map(fine, room_within(box)))


def _board_words(box: BoxLayout) -> Words:
    lid = box.recipe.lid_board
    if lid is None:
        return ""
    (long, wide), whole = map(_width, outline(box, lid)), box.recipe.height + lid.rises
    where = "at the front and the sides, and flush at the back" if lid.kind == "hinged" else "all round"
    how = "hangs on its hinges at the back" if lid.kind == "hinged" else "lifts off"
    told = message(
        f"The lid is a board of its own that {how}: {{}} by {{}} and {{}} thick, {{}} over the boards {where}. Closed, "
        "the box is {} high.",
        *map(fine, (long, wide, lid.panel.thickness, lid.overhang, whole)),
    )
    return joined([told, *([_tongue_words(box, lid)] if lid.drop else []), _year_of_board(box, lid)])


def _tongue_words(box: BoxLayout, lid: LidBoard) -> Words:
    """What the rebate leaves, and what room it has in the dampest air."""
    told = (
        "A rebate {} deep goes round its underside and leaves a tongue of {} by {}, which drops between the boards. In "
        "the dampest air that has {} of room or more there, both edges together."
    )
    (long, wide), room = map(_width, tongue(box, lid)), room_when_damp(box, lid)
    return message(told, *map(fine, (lid.drop, long, wide, room)))


def _year_of_board(box: BoxLayout, lid: LidBoard) -> Words:
    pushed = "" if lid.kind == "hinged" else ", pushed aside as far as it goes"
    told = "{} Even in the driest air it lies on {} or more of every board{}."
    return message(told, told_of_year(box, moves_by(box, lid)), fine(min(lies_on(box, lid).values())), pushed)


def _width(span: Span) -> float:
    return span[1] - span[0]


def least_half_pin(box: BoxLayout) -> float:
    """The narrowest half pin beside the cut, where it is narrowest."""
    return min(width for pair in half_pins_left(box).values() for width in pair)


def top_words(box: BoxLayout) -> Words:
    """How the top moves through the year and how it is fastened; empty if there is none."""
    if not box.recipe.top_groove.width:
        return ""
    twin = with_top(box)
    fix = (
        "It moves so little that it may be glued into its groove."
        if twin.recipe.panel.glued == "all round"
        else "Fix it in the middle, with a dab of glue in the middle of each end-grain edge and nowhere else."
    )
    told = (
        "The top is held all round. {} It has {} of room to grow. At the driest {} of its edge stays in the groove on "
    )
    return message(f"{told}each side. {{}}", year_words(twin), fine(twin.panel_room), fine(twin.panel_hold), fix)


def height_of_top(box: BoxLayout) -> float:
    """How far below the upper edges the underside of a top or of a lid lies; 0 without one."""
    groove = box.recipe.top_groove
    if box.recipe.lid_board:
        return box.recipe.lid_board.drop
    return box.recipe.height - groove.up if groove.width else 0.0


def inside_z(box: BoxLayout) -> Span:
    """From the bottom, or the lower edge, up to the top of the closed box, or its upper edge."""
    return box.recipe.floor if box.panel else 0.0, box.recipe.closed_height - height_of_top(box)
