"""What is worth knowing of a layout, as notes: what chamfer and undercut do, how often a hand gets it right, how the
wood moves, and what the joint holds. The warnings are in `remarks.py`."""

from __future__ import annotations

from collections.abc import Callable

from solids.base import tolerances as tol
from solids.base.amounts import fine, finest, most
from solids.base.findings import Finding, in_units
from solids.base.forces import format_forces, format_moments
from solids.base.messages import Amount, Key, Words, message, renamed
from solids.bench.assumed import assumed_note
from solids.bench.cup import cup_note
from solids.bench.hand_error import HandWork, hand_work
from solids.bench.movement import movement_note
from solids.bench.strength import WeakPart, screening
from solids.layout import Layout


def facts(layout: Layout) -> tuple[Finding, ...]:
    """What chamfer and undercut mean for the joint, how a hollow board closes, how often a hand gets it right, what the
    wood does afterwards, and what the joint holds: to read, not to warn."""
    checks = (_entry_chamfer, _undercut, cup_note, _hand, movement_note, _strength, assumed_note)
    return in_units(filter(None, (check(layout) for check in checks)), layout.recipe.units)


def wood_facts(layout: Layout) -> tuple[Finding, ...]:
    """Those of them that are about the wood, for paper and terminal."""
    return in_units(filter(None, (cup_note(layout), movement_note(layout), assumed_note(layout))), layout.recipe.units)


def _entry_chamfer(layout: Layout) -> Finding | None:
    c = layout.recipe.entry_chamfer.width
    if not layout.chamfer_reach:
        return None
    lost = 100 * (layout.chamfer_reach * c / (layout.depth * layout.tail_thickness))
    sentence = message(
        "The entry chamfer of {} ends {} short of the raw end and takes {:.1f} % of each flank's contact and glue. It "
        "does not change how the joint locks.",
        *(fine(c), fine(layout.chamfer_stop), lost),
    )
    return Finding("entry-chamfer", "note", sentence, measured=lost, unit="%")


def _undercut(layout: Layout) -> Finding | None:
    land = layout.land
    if land is None:
        return None
    past = min(0.5, (min(layout.floors_at_show_faces) / 2 - land) / 2)
    gap = layout.gap_after_planing(land + past)
    sentence = message(
        "Up to {} may be planed off the show faces and no undercut shows. {} would open a gap of {}. What stands "
        "proud does not count.",
        *(most(layout.planing_left), fine(land + past), fine(gap)),
    )
    return Finding("undercut", "note", sentence, measured=layout.planing_left, unit="mm")


def _hand(layout: Layout) -> Finding:
    recipe, found = layout.recipe, hand_work(layout)
    shifted = message(" and each board by {}", finest(recipe.hand.shift)) if recipe.hand.shift else ""
    sentence = message(
        "If each flank errs by {}{}, {} of such joints are right off the saw: no gap over {}, no flank over {} tight, "
        "which is what the wood forgives. Once what is tight is pared, {} are right.",
        *(finest(recipe.hand.sigma), shifted, _percent(found.right)),
        *(finest(tol.GAP_SHOWS), finest(recipe.tight_limit), _percent(found.pared)),
    )
    return Finding("hand-work", "note", sentence, measured=100 * found.right, unit="%", remedy=_fatter(layout, found))


def _fatter(layout: Layout, found: HandWork) -> Words:
    """How fat to saw the pins, measured from the lines that are knifed along the tails; nothing where that is so
    already."""
    if not found.fat:
        return ""
    how = message("Take {} of {}", Key("fit.flank_gap"), finest(layout.recipe.flank_gap - found.fat))
    if found.beyond_the_line > tol.ROUNDING:
        beyond = finest(found.beyond_the_line)
        how = message("Saw each flank of the pins fat by {}, in the waste, and pare where it shines", beyond)
    return renamed(message("{}: then it is {}.", how, _percent(found.fat_pared)), dict(layout.keys))


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %" if share >= 0.01 else "fewer than 1 %"


def _strength(layout: Layout) -> Finding | None:
    found = screening(layout)
    if not found.dry:
        return None

    def say(part: WeakPart, how: Callable[..., str]) -> Words:
        return message("at the {}, with about {}", part.name, Amount(how, (part.least, part.most)))

    sentence = message(
        "To compare layouts only, not to design with. Pulled apart, it gives first {}, when glued; without glue, or "
        "once that has let go, {}. Racked out of square, which is how boxes fail, it gives first {}, when glued.",
        say(found.glued[0], format_forces),
        say(found.dry[0], format_forces),
        say(found.racked[0], format_moments),
    )
    return Finding("strength", "note", sentence, measured=found.glued[0].least, unit="N")
