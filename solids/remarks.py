"""What a layout is worth a word about, though it can be cut: steep or flat slopes, thin laps and half pins, loose fits.

Pure arithmetic on a layout; every limit and its source stand in `tolerances.py`.
"""

from __future__ import annotations

import math

from solids import tolerances as tol
from solids.bench import bench_of
from solids.findings import Finding
from solids.handwork import HandWork, estimate
from solids.layout import Layout, thinner_than_rule
from solids.lengths import format_both, format_force, format_least, format_most
from solids.movement import BoardChange, wood_movement
from solids.strength import screening


def remarks(layout: Layout) -> tuple[Finding, ...]:
    """Warnings about a layout that is accepted as it stands."""
    checks = (_slope, _half_pins, _lap, _loose, _wide_tail, _planing, _knife, _chisels, _mismatch, _step)
    return tuple(finding for check in checks if (finding := check(layout)))


def facts(layout: Layout) -> tuple[Finding, ...]:
    """What chamfer and undercut mean for the joint, how often a hand gets it right, what the wood does afterwards, and
    what the joint holds: to read, not to warn."""
    checks = (_entry_chamfer, _undercut, _hand, _movement, _strength)
    return tuple(finding for check in checks if (finding := check(layout)))


def _say(layout: Layout, mm: float) -> str:
    return format_both(mm, layout.recipe.units, 0.01)


def _slope(layout: Layout) -> Finding | None:
    n = layout.ratio
    if tol.USUAL_RATIO_STEEP <= n <= tol.USUAL_RATIO_FLAT:
        return None
    steep = n < tol.USUAL_RATIO_STEEP
    return Finding(
        code="slope",
        severity="warning",
        sentence=f"A slope of 1:{n:.3g} is {'steeper' if steep else 'flatter'} than the usual 1:5 to 1:8"
        + (": the short grain at the corners of the tails may break." if steep else ": it holds little."),
        measured=n,
        limit=tol.USUAL_RATIO_STEEP if steep else tol.USUAL_RATIO_FLAT,
        remedy="Take joint.slope from 1:5 to 1:8.",
    )


def _half_pins(layout: Layout) -> Finding | None:
    recipe = layout.recipe
    limit = thinner_than_rule(recipe)
    if limit is None:
        return None
    return Finding(
        code="half-pin",
        severity="warning",
        sentence=f"The half pins of {_say(layout, recipe.half_pin)} are thinner than the rule, as you asked: they may "
        "split when the joint is driven home.",
        measured=recipe.half_pin,
        limit=limit,
        unit="mm",
        remedy="Clamp across the width while you assemble, or widen joint.half_pin.",
    )


def _lap(layout: Layout) -> Finding | None:
    recipe = layout.recipe
    if not layout.is_half_blind or recipe.lap >= tol.LAP_THIN:
        return None
    return Finding(
        code="lap",
        severity="warning",
        sentence=f"A lap of {_say(layout, recipe.lap)} is thin and may break out.",
        measured=recipe.lap,
        limit=tol.LAP_THIN,
        unit="mm",
        remedy=f"Take joint.lap of {format_least(tol.LAP_THIN, recipe.units)} or more.",
    )


def _loose(layout: Layout) -> Finding | None:
    recipe = layout.recipe
    if recipe.flank_gap <= tol.GLUE_GAP:
        return None
    return Finding(
        code="loose",
        severity="warning",
        sentence=f"A flank gap of {_say(layout, recipe.flank_gap)} shows as a line and is more than glue likes.",
        measured=recipe.flank_gap,
        limit=tol.GLUE_GAP,
        unit="mm",
        remedy=f"Take fit.flank_gap of {format_most(tol.GLUE_GAP, recipe.units)} or less.",
    )


def _wide_tail(layout: Layout) -> Finding | None:
    widest = max(layout.tails, key=lambda tail: tail.width)
    if widest.width <= tol.TAIL_WIDEST + tol.LEAST_FEATURE:
        return None
    return Finding(
        code="wide-tail",
        severity="warning",
        sentence=f"Tail {widest.number} is {_say(layout, widest.width)} wide. Over 1 3/4 in, it holds less.",
        place=f"tail {widest.number}",
        measured=widest.width,
        limit=tol.TAIL_WIDEST,
        unit="mm",
        remedy="Take one more tail.",
    )


def _planing(layout: Layout) -> Finding | None:
    planing, land = layout.recipe.finish.planing, layout.land
    if land is None or planing <= land / 2:
        return None
    return Finding(
        code="planing",
        severity="warning",
        sentence=f"Planing {_say(layout, planing)} off the show face takes more than half of the land of "
        f"{_say(layout, land)} that hides the undercut.",
        measured=planing,
        limit=land / 2,
        unit="mm",
        remedy=f"Plane {format_most(land / 2, layout.recipe.units)} or less, or widen undercut.land.",
    )


def _knife(layout: Layout) -> Finding | None:
    """The knife must stand in the gap between two tails at the raw end to mark the pins."""
    knife = layout.recipe.kit.knife
    gap = min(layout.tail_board_gaps(layout.as_cut.tail_end)[1:-1], default=math.inf)
    if knife <= gap + tol.ROUNDING:
        return None
    return Finding(
        code="knife",
        severity="warning",
        sentence=f"Your knife of {_say(layout, knife)} does not fit the gap of {_say(layout, gap)} between tails at "
        "the raw end.",
        measured=gap,
        limit=knife,
        unit="mm",
        remedy="Take a thinner knife, or widen joint.pin.",
    )


def _chisels(layout: Layout) -> Finding | None:
    """Sockets into which none of the maker's own chisels goes; nothing is said where the kit names none."""
    if not layout.recipe.kit.chisels:
        return None
    tight = [fit for fit in bench_of(layout).chisels if fit.own is None]
    if not tight:
        return None
    tightest = min(tight, key=lambda fit: fit.widest)
    # Told as fine as a rule or caliper reads, rounded down, so that what is told fits.
    step = 25.4 / 1000 if layout.recipe.units == "in" else 0.01
    most = math.floor(tightest.widest / step + tol.ROUNDING) * step
    others = f", nor {len(tight) - 1} more of the cuts" if len(tight) > 1 else ""
    mend = "take fewer, wider tails" if len(layout.tails) > 1 else "narrow joint.half_pin"
    if tightest.sockets.startswith("tail board"):
        mend = "widen joint.pin"
    return Finding(
        code="chisel",
        severity="warning",
        sentence=f"None of your chisels fits {tightest.sockets}, {tightest.side}{others}.",
        measured=tightest.widest,
        limit=min(layout.recipe.kit.chisels),
        unit="mm",
        remedy=f"One of {format_most(most, layout.recipe.units)} or less would fit; or {mend}.",
    )


def _mismatch(layout: Layout) -> Finding | None:
    """Two boards that move apart across their width strain the joint and its glue. Nobody is warned of air that was
    only assumed; the note on movement tells the figures all the same."""
    apart = wood_movement(layout).mismatch
    limit = tol.MISMATCH_SHARE * layout.width
    if apart is None or abs(apart) <= limit or layout.recipe.air_is_assumed:
        return None
    return Finding(
        code="mismatch",
        severity="warning",
        sentence=f"Between shop and home the boards move apart by {_say(layout, abs(apart))} across the width. That "
        "strains the joint: boards may cup or split.",
        measured=abs(apart),
        limit=limit,
        unit="mm",
        remedy="Take woods that move alike, or boards sawn alike, or let the wood settle at home before you cut.",
    )


def _step(layout: Layout) -> Finding | None:
    """End grain that stands past a face that has dried, or lies below one that has swollen."""
    moves = wood_movement(layout)
    if layout.recipe.finish.ends == "proud":
        return None  # they stand proud because they are meant to
    steps = {"pins": moves.pins_stand, "ends of the tails": moves.tails_stand}
    shown = {name: step for name, step in steps.items() if step is not None and abs(step) > tol.STEP_FELT}
    if not shown or layout.recipe.air_is_assumed:
        return None
    words = " and ".join(f"the {name} {_stand(layout, step)}" for name, step in shown.items())
    return Finding(
        code="step",
        severity="warning",
        sentence=f"At home {words}. A finger feels that.",
        measured=max(abs(step) for step in shown.values()),
        limit=tol.STEP_FELT,
        unit="mm",
        remedy="Plane the ends flush after the wood has settled at home, or dry it before you cut.",
    )


def _movement(layout: Layout) -> Finding:
    recipe, moves = layout.recipe, wood_movement(layout)
    rooms = f"From {recipe.shop.words(recipe.units)} to {recipe.home.words(recipe.units)}"
    moisture = f"the wood goes from {moves.shop_moisture:.1f} to {moves.home_moisture:.1f} % moisture"
    if f"{moves.home_moisture:.1f}" == f"{moves.shop_moisture:.1f}":
        return Finding(code="movement", severity="note", sentence=f"{rooms} {moisture}. Nothing to speak of moves.")
    boards = (("tail board", moves.tail_board), ("pin board", moves.pin_board))
    parts = [_growth(layout, name, board) for name, board in boards if board.width is not None]
    told = f": {'; '.join(parts)}" if parts else ""
    missing = "" if len(parts) == 2 else " A wood whose movement is not given is left out."
    beyond = "" if moves.in_range else " Beyond 6 to 14 % moisture the published figures are only a guide."
    ends = (("pins", moves.pins_stand), ("ends of the tails", moves.tails_stand))
    tell = _stand_further if recipe.finish.ends == "proud" else _stand
    steps = [f"the {name} {tell(layout, step)}" for name, step in ends if step is not None]
    stand = f" At home {' and '.join(steps)}." if steps else ""
    return Finding(code="movement", severity="note", sentence=f"{rooms} {moisture}{told}.{stand}{missing}{beyond}")


def _stand(layout: Layout, step: float) -> str:
    return f"{'stand' if step > 0 else 'lie'} {_say(layout, abs(step))} {'proud' if step > 0 else 'low'}"


def _stand_further(layout: Layout, step: float) -> str:
    """Ends that stand proud on purpose come out further, or less far."""
    return f"stand {_say(layout, abs(step))} {'further out' if step > 0 else 'less proud'}"


def _growth(layout: Layout, name: str, board: BoardChange) -> str:
    width, thickness = board.width or 0.0, board.thickness or 0.0
    verb = "grows" if width > 0 else "shrinks"
    return f"the {name} {verb} {_say(layout, abs(width))} in width and {_say(layout, abs(thickness))} in thickness"


def _strength(layout: Layout) -> Finding | None:
    found = screening(layout)
    if not found.dry:
        return None
    glued, dry = found.glued[0], found.dry[0]
    units = layout.recipe.units
    return Finding(
        code="strength",
        severity="note",
        sentence=f"To compare layouts only, not to design with: glued, it gives first at the {glued.name}, with about "
        f"{format_force(glued.pull_n, units)}; without glue, at the {dry.name}, with about "
        f"{format_force(dry.pull_n, units)}.",
        measured=glued.pull_n,
        unit="N",
    )


def _entry_chamfer(layout: Layout) -> Finding | None:
    c = layout.recipe.entry_chamfer.width
    if not layout.chamfer_reach:
        return None
    lost = layout.chamfer_reach * c / (layout.depth * layout.recipe.tail_board.thickness)
    short = _say(layout, layout.chamfer_stop)
    return Finding(
        code="entry-chamfer",
        severity="note",
        sentence=f"The entry chamfer of {_say(layout, c)} ends {short} short of the raw end and takes "
        f"{100 * lost:.1f} % of each flank's contact and glue. It does not change how the joint locks.",
        measured=100 * lost,
        unit="%",
    )


def _undercut(layout: Layout) -> Finding | None:
    land = layout.land
    if land is None:
        return None
    past = min(0.5, (min(layout.floors_at_show_faces) / 2 - land) / 2)
    gap = layout.gap_after_planing(land + past)
    return Finding(
        code="undercut",
        severity="note",
        sentence=f"Up to {_say(layout, layout.planing_left)} may be planed off the show faces and no undercut shows. "
        f"{_say(layout, land + past)} would open a gap of {_say(layout, gap)}. What stands proud does not count.",
        measured=layout.planing_left,
        unit="mm",
    )


def hand_work(layout: Layout) -> HandWork:
    """How often a hand gets this joint right. A shift of a board in X moves each flank by its share normal to it."""
    recipe = layout.recipe
    limit = tol.tight_limit(both_hardwood=recipe.both_hardwood)
    shift = recipe.hand.shift / layout.flank_stretch
    return estimate(len(layout.tails), recipe.flank_gap, recipe.hand.sigma, limit, shift)


def _hand(layout: Layout) -> Finding:
    recipe, found = layout.recipe, hand_work(layout)
    shifted = f" and each board by {_fine(layout, recipe.hand.shift)}" if recipe.hand.shift else ""
    return Finding(
        code="hand-work",
        severity="note",
        sentence=f"If each flank errs by {_fine(layout, recipe.hand.sigma)}{shifted}, {_percent(found.right)} of such "
        f"joints come out right: no gap over {_fine(layout, tol.GAP_SHOWS)}, no flank tighter than the wood forgives. "
        f"A flank gap of {_fine(layout, found.best_gap)} would make it {_percent(found.best_right)}.",
        measured=100 * found.right,
        unit="%",
    )


def _fine(layout: Layout, mm: float) -> str:
    return format_both(mm, layout.recipe.units, 0.001)


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %" if share >= 0.01 else "fewer than 1 %"
