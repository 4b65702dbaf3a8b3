"""What a layout is worth a word about, though it can be cut: steep or flat slopes, thin laps and half pins, loose fits.

Pure arithmetic on a layout; every limit and its source stand in `tolerances.py`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import partial

from solids.base import tolerances as tol
from solids.base.findings import Finding
from solids.base.lengths import (
    Units,
    format_both,
    format_force,
    format_least,
    format_moment,
    format_most,
    format_range,
    parse_length,
)
from solids.base.messages import Key, Words, message, renamed, said
from solids.base.sources import COMMON_PRACTICE, FROM_MEMORY, OWN_SIZES
from solids.bench import movement_words
from solids.bench.hand_error import HandWork, estimate
from solids.bench.settings import bench_of
from solids.bench.strength import WeakPart, screening
from solids.layout import (
    Frail,
    Layout,
    frail_parts,
    holds,
    take,
    thinner_than_rule,
    usual_slopes,
    ways_to_hold,
    with_pins,
    with_tails,
)


def remarks(layout: Layout) -> tuple[Finding, ...]:
    """What of a layout can be cut by no hand, which fails, and warnings about what is accepted as it stands."""
    checks = (_slope, _half_pins, _lap, _loose, _wide_tail, _planing, _knife, _chisels, _mismatch, _step)
    found = [finding for check in checks if (finding := check(layout))]
    return tuple(_with_source(each) for each in (*map(partial(_frail, layout), frail_parts(layout)), *found))


SOURCES_OF = {"chisel": OWN_SIZES, "knife": OWN_SIZES, "planing": OWN_SIZES, "mismatch": FROM_MEMORY}
"""Where a remark's limit comes from, by its code, where that is no common practice."""


def _with_source(finding: Finding) -> Finding:
    return replace(finding, source=SOURCES_OF.get(finding.code, COMMON_PRACTICE))


def facts(layout: Layout) -> tuple[Finding, ...]:
    """What chamfer and undercut mean for the joint, how often a hand gets it right, what the wood does afterwards, and
    what the joint holds: to read, not to warn."""
    checks = (_entry_chamfer, _undercut, _hand, movement_words.note, _strength)
    return tuple(finding for check in checks if (finding := check(layout)))


def _say(layout: Layout, mm: float) -> str:
    return format_both(mm, layout.recipe.units, 0.01)


def _frail(layout: Layout, frail: Frail) -> Finding:
    """A neck or pin too thin to be cut, or one that may break, with the nearest layouts that hold."""
    ways = ways_to_hold(layout)
    width, least = (_say(layout, size) for size in (frail.width, frail.least))
    what = f"The neck of {frail.place} is" if frail.part == "neck" else f"{frail.place.capitalize()} are"
    return Finding(
        code=f"thin-{frail.part.replace(' ', '-')}",
        severity="fail" if frail.uncut else "warning",
        sentence=f"{what} {width} wide, under {least}: {frail.why}."
        + (" No hand can cut that." if frail.uncut else ""),
        place=frail.place,
        measured=frail.width,
        limit=frail.least,
        unit="mm",
        remedy=_as_sentence(layout, take(ways)) if ways else "Take fewer and wider tails, or a wider board.",
    )


def _as_sentence(layout: Layout, told: Words) -> str:
    """Words as a sentence, under the keys that a box has for those of its corner."""
    words = said(renamed(told, dict(layout.in_box.keys)), layout.recipe.units)
    return f"{words[0].upper()}{words[1:]}."


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
        remedy=_usual_slope(layout),
    )


def _usual_slope(layout: Layout) -> str:
    """The usual slopes at which the necks hold; where none does, what else holds at the nearest of them."""
    good = usual_slopes(layout.recipe, partial(holds, in_box=layout.in_box))
    if good:
        steepest, flattest = min(good), max(good)
        alone = f"Take a joint.slope of 1:{flattest:g}."
        return alone if steepest == flattest else f"Take joint.slope from 1:{steepest:g} to 1:{flattest:g}."
    usual = min(max(layout.ratio, tol.USUAL_RATIO_STEEP), tol.USUAL_RATIO_FLAT)
    ways = ways_to_hold(replace(layout, recipe=replace(layout.recipe, slope_ratio=usual)))
    return (
        _as_sentence(layout, message("take {} = 1:{:g} with {}", Key("joint.slope"), usual, ways[0]))
        if ways
        else "Take fewer and wider tails first."
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
        remedy=_more_tails(layout),
    )


def _more_tails(layout: Layout) -> str:
    """So many more that none is too wide and the joint holds."""
    count = len(layout.tails)
    tried = ((more, with_tails(layout.recipe, more)) for more in range(count + 1, tol.MOST_TAILS + 1))
    enough = next((more for more, recipe in tried if recipe and holds(recipe, in_box=layout.in_box)), None)
    if enough is None:
        return "Take one more tail, and narrower ones, in joint.spacing." if layout.recipe.spacing == "listed" else ""
    return "Take one more tail." if enough == count + 1 else f"Take {enough} tails."


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
        remedy=_wider_for_knife(layout, knife),
    )


def _wider_for_knife(layout: Layout, knife: float) -> str:
    """Pins that the knife passes between and with which the joint holds."""
    recipe = layout.recipe
    needed = knife + 2 * recipe.tail_board.proud / layout.ratio
    told = format_least(needed, recipe.units)
    wider = with_pins(recipe, "joint.pin", parse_length(told))
    pins = f", or a joint.pin of {told} or more" if holds(wider, in_box=layout.in_box) else ""
    return f"Take a thinner knife{pins}."


def _chisels(layout: Layout) -> Finding | None:
    """Sockets into which none of the maker's own chisels goes; nothing is said where the kit names none."""
    if not layout.recipe.kit.chisels:
        return None
    tight = [fit for fit in bench_of(layout).chisels if fit.own is None]
    if not tight:
        return None
    tightest = min(tight, key=lambda fit: fit.widest)
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
        remedy=f"One of {format_most(tightest.widest, layout.recipe.units)} or less would fit; or {mend}.",
    )


def _mismatch(layout: Layout) -> Finding | None:
    """Two boards that move apart across their width strain the joint and its glue. Nobody is warned of air that was
    only assumed; the note on movement tells the figures all the same."""
    if layout.recipe.air_is_assumed:
        return None
    return movement_words.mismatch(layout)


def _step(layout: Layout) -> Finding | None:
    """End grain that stands past a face that has dried, or lies below one that has swollen. Ends that are left standing
    are meant to."""
    if layout.recipe.air_is_assumed or layout.recipe.finish.ends == "proud":
        return None
    return movement_words.step(layout)


def _strength(layout: Layout) -> Finding | None:
    found = screening(layout)
    if not found.dry:
        return None
    units = layout.recipe.units

    def say(part: WeakPart, form: Callable[[float, Units], str]) -> str:
        return f"at the {part.name}, with about {format_range(form(part.least, units), form(part.most, units))}"

    return Finding(
        code="strength",
        severity="note",
        sentence="To compare layouts only, not to design with. Pulled apart, it gives first "
        f"{say(found.glued[0], format_force)}, when glued; without glue, or once that has let go, "
        f"{say(found.dry[0], format_force)}. Racked out of square, which is how boxes fail, it gives first "
        f"{say(found.racked[0], format_moment)}, when glued.",
        measured=found.glued[0].least,
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
