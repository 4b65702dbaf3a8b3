"""What is done at the bench for the bottom of a box: groove or rebate, tongue, slips, and how it is fastened. Common
practice, with this box's own numbers."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base.lengths import CALIPER, format_both
from solids.layout.box.bottom import slot_for
from solids.layout.box.cut_list import cut_list
from solids.layout.box.kinds import and_so_on, kind_title
from solids.layout.box.model import BoxCorner, BoxLayout, with_top
from solids.recipe.tables.panel import SLIP_ABOVE, Glued

GROOVE_GLUE: dict[Glued, str] = {
    "all round": "and in the groove of {} too if you like: plywood hardly moves",
    "in the middle": "in the groove only a dab in the middle of each end-grain edge of {}",
    "nowhere": "none in the groove of {}: it slides in later",
}
IN_REBATE = "none in the rebate: {} is laid in later"


def groove_glue(box: BoxLayout) -> str:
    """Whether glue goes into the grooves of bottom and top too; empty where there are none."""
    held = [("the bottom", box.recipe.panel)] if box.panel is not None else []
    if box.recipe.top_groove.width:
        held.append(("the top", with_top(box).recipe.panel))
    alike: dict[str, list[str]] = {}
    for what, panel in held:
        alike.setdefault(IN_REBATE if panel.in_rebate else GROOVE_GLUE[panel.glued], []).append(what)
    found = "; ".join(how.format(and_so_on(whats)) for how, whats in alike.items())
    return f", {found}" if found else ""


def bottom_grooving(box: BoxLayout) -> Iterator[tuple[str, str]]:
    """What is ploughed or planed in the boards before any joint is laid out: a step's name, and how it is done."""
    if box.panel is None:
        return
    if box.recipe.panel.in_rebate:
        yield ("Plane the rebate", f"{rebate_words(box)} Cut it, or at least lay it out, before any joint.")
    else:
        words = f"{groove_words(box)} Plough it, or at least lay it out, before any joint."
        yield ("Plough the groove", words)


def bottom_shaping(box: BoxLayout) -> Iterator[tuple[str, str]]:
    """The same of its slips, and of the bottom itself."""
    if box.panel is None:
        return
    if box.has_slips:
        yield ("Make the slips", slip_words(box))
    if box.recipe.panel.edge != "plain":
        yield ("Shape the bottom", _shaping(box))


def _say(box: BoxLayout, mm: float) -> str:
    return format_both(mm, box.recipe.units, CALIPER)


def _shaping(box: BoxLayout) -> str:
    """How the edge of the bottom becomes a tongue, across the grain first, so that what breaks out is planed away."""
    panel, deep = box.recipe.panel, box.recipe.groove.depth
    sides = "at the sides and the front" if panel.under_back else "all round"
    rebate = f"Plane a rebate {{}} wide and {_say(box, panel.step)} deep {sides}, on the {panel.face}"
    order = "Plane across the grain first, then along it, and try the tongue in the groove."
    if panel.edge == "rebated":
        return f"{rebate.format(_say(box, panel.border))}: it leaves a tongue {_say(box, panel.tongue)} thick. {order}"
    return (
        f"Gauge {_say(box, panel.border)} in from the edge {sides}, on the {panel.face}, and "
        f"{_say(box, panel.tongue)} up the edges from the other face. Plane the tongue flat, {_say(box, deep)} wide, "
        f"then the bevel from there to the line of the field. {order}"
    )


def slip_words(box: BoxLayout) -> str:
    """How the slips are made, and where they are glued."""
    groove = box.recipe.groove
    row = next(row for row in cut_list(box) if row.name.endswith("slip"))
    long, high, thick = (_say(box, size) for size in row.finished)
    sizes = [_say(box, size) for size in (groove.width, groove.depth, groove.up)]
    return (
        f"Two, {long} long, {high} high and {thick} thick. Plough each with the setting of the front: {sizes[0]} wide, "
        f"{sizes[1]} deep, {sizes[2]} above its lower edge, which leaves {_say(box, SLIP_ABOVE)} above it. At the back "
        f"cut away what is above the lower edge of the back board, so that it runs on below. Glue them to the sides, "
        "lower edges flush."
    )


def rebate_words(box: BoxLayout) -> str:
    """Where the rebate for the bottom is and what becomes of its ends."""
    groove, panel = box.recipe.groove, box.recipe.panel
    deep, up = groove.depth, groove.width - panel.thickness
    below = f" The bottom lies {_say(box, up)} within the lower edges." if up > 0 else ""
    return (
        f"{_say(box, groove.width)} high and {_say(box, deep)} deep, along the reference edge, in the inside faces of "
        f"all four boards. {' '.join(_rebate_ends(box))}{below}"
    )


def _rebate_ends(box: BoxLayout) -> Iterator[str]:
    """What becomes of its ends, a sentence for each way, with the corners where they are not alike."""
    ways: dict[str, list[str]] = {}
    for name, corner in box.corners.items():
        ways.setdefault(_rebate_end(box, corner), []).append(name)
    for way, names in ways.items():
        yield f"{f'At the {kind_title(names)} it' if len(ways) > 1 else 'It'} {way}."


def _rebate_end(box: BoxLayout, corner: BoxCorner) -> str:
    if box.in_half_pin(corner):
        deep = _say(box, box.recipe.groove.depth)
        return (
            "runs through the tail boards into the sockets of the half pins; in the pin boards it stops in the half "
            f"pin, {deep} past the inside of the tail board: chop that end square first, or rout all of it when the "
            "box is glued and square the corners with a chisel"
        )
    if box.is_mitred(corner):
        return "runs out on the mitres, from board to board: plane it right through"
    if box.runs_out(corner):
        return "runs out at the ends of the tail boards"
    return "stops in the tail boards as far past the baseline as it is deep: chop those ends first"


def groove_words(box: BoxLayout) -> str:
    """Where the groove is and what becomes of its ends; empty where there is none."""
    units, groove = box.recipe.units, box.recipe.groove
    if box.panel is None:
        return ""
    width, depth, up = (format_both(size, units, CALIPER) for size in (groove.width, groove.depth, groove.up))
    where = "of all four boards"
    if box.has_slips:
        return (
            f"{width} wide and {depth} deep, {up} above the reference edge, in the inside face of the front, and with "
            "the same setting in the slips. It may be ploughed through the ends of the front: there it falls into a "
            "socket, and the tail covers it."
        )
    if box.recipe.back_above_bottom:
        where = "of front, left and right; the back stands above it"
    back = " At the back it runs out below the back board, open, so that the bottom slides in."
    return (
        f"{width} wide and {depth} deep, {up} above the reference edge, in the inside faces {where}. "
        f"{' '.join(_end_words(box))} It may be "
        "ploughed through the ends of the pin boards: there it falls into a socket, and the tail covers it."
        f"{back if box.recipe.back_above_bottom else ''}"
    )


def _end_words(box: BoxLayout) -> Iterator[str]:
    """What becomes of the groove at the ends of the tail boards, a sentence for each way, with the corners where they
    are not alike."""
    ways: dict[str, list[str]] = {}
    for name, corner in box.corners.items():
        if not box.is_open(corner):
            ways.setdefault(_way_out(box, corner), []).append(name)
    for way, names in ways.items():
        at = f" at the {kind_title(names)}" if len(ways) > 1 else ""
        yield f"In the tail boards{at} {way}."


def _way_out(box: BoxLayout, corner: BoxCorner) -> str:
    if not box.runs_out(corner):
        return "it stops as far past the baseline as it is deep: chop those ends first"
    return "plough it right through: the lap hides it" if corner.layout.is_half_blind else "it runs out at the ends"


def fastening_words(box: BoxLayout) -> str:
    """How a bottom is fitted that slides in under the back, or that lies in a rebate; empty for any other, which its
    groove holds. Source: W. Noyes, Handwork in Wood, 1910, p. 190: to the front alone, so that it can shrink."""
    panel = box.recipe.panel
    if box.panel is None:
        return ""
    if panel.in_rebate:
        return _into_rebate(box)
    return _under_back(box) if panel.under_back else ""


def _under_back(box: BoxLayout) -> str:
    panel = box.recipe.panel
    if panel.kind == "plywood":
        return (
            "Slide it in from the back, and screw it up into the back. It hardly moves: it needs no slots, and glue in "
            "its groove does no harm."
        )
    slot = format_both(slot_for(box), box.recipe.units)
    if panel.free:
        return (
            "Slide it in from the back. Before it is quite home, brush a little glue on its front edge alone: it is "
            "held there, and moves at the back. Screw it up into the back, each screw through a slot in the solid "
            f"bottom, {slot} longer from front to back than the screw is thick."
        )
    return (
        "Slide it in from the back, with a dab of glue in the middle of its front edge. Screw it up into the back, in "
        f"the middle through a plain hole, and beside that through slots across the grain, {slot} longer than the "
        "screw is thick, so that it moves alike to both sides."
    )


def _into_rebate(box: BoxLayout) -> str:
    """How a bottom is fastened in its rebate, from below."""
    if box.recipe.panel.kind == "plywood":
        return "When the glue has set, glue the plywood into its rebate, or pin it there. It hardly moves."
    slot = format_both(slot_for(box), box.recipe.units)
    return (
        "When the glue has set, screw it into its rebate from below, without glue: one screw in the middle of each "
        "end-grain edge through a plain hole, and every other screw through a slot across the grain, "
        f"{slot} longer than the screw is thick, so that the bottom can move."
    )
