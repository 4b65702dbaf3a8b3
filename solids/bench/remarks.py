"""What a layout is worth a word about, though it can be cut: steep or flat slopes, thin laps and half pins, loose fits.

Pure arithmetic on a layout; every limit and its source stand in `tolerances.py`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import partial

from solids.base import tolerances as tol
from solids.base.amounts import at_least, at_most, fine, finest
from solids.base.findings import Finding
from solids.base.lengths import format_forces, format_moments, parse_length
from solids.base.messages import Amount, Key, Words, message, renamed, series
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
    tails_in_words,
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
    return tuple(_meant(layout, each) for each in (*map(partial(_frail, layout), frail_parts(layout)), *found))


SOURCES_OF = {"chisel": OWN_SIZES, "knife": OWN_SIZES, "planing": OWN_SIZES, "mismatch": FROM_MEMORY}
"""Where a remark's limit comes from, by its code, where that is no common practice."""


def _meant(layout: Layout, finding: Finding) -> Finding:
    """A remark with the source of its limit, under the keys that a box has for those of its corner."""
    return replace(
        finding,
        remedy=renamed(finding.remedy, dict(layout.keys)),
        source=SOURCES_OF.get(finding.code, COMMON_PRACTICE),
        units=layout.recipe.units,
    )


def facts(layout: Layout) -> tuple[Finding, ...]:
    """What chamfer and undercut mean for the joint, how often a hand gets it right, what the wood does afterwards, and
    what the joint holds: to read, not to warn."""
    checks = (_entry_chamfer, _undercut, _hand, movement_words.note, _strength)
    return tuple(replace(finding, units=layout.recipe.units) for check in checks if (finding := check(layout)))


def _frail(layout: Layout, frail: Frail) -> Finding:
    """A neck or pin too thin to be cut, or one that may break, with the nearest layouts that hold."""
    ways = ways_to_hold(layout)
    what = message("neck of {} is", frail.place) if frail.part == "neck" else f"{frail.part}s are"
    sentence = message("The {} {} wide, under {}: {}.", what, fine(frail.width), fine(frail.least), frail.why)
    return Finding(
        code=f"thin-{frail.part.replace(' ', '-')}",
        severity="fail" if frail.uncut else "warning",
        sentence=message("{} No hand can cut that.", sentence) if frail.uncut else sentence,
        place=frail.place,
        measured=frail.width,
        limit=frail.least,
        unit="mm",
        remedy=message("Take {}.", series(ways)) if ways else _fewer_or_wider(layout),
    )


def _fewer_or_wider(layout: Layout) -> Words:
    tails = Key("joint.spacing" if layout.recipe.spacing == "listed" else "joint.tails")
    return message("Take fewer and wider tails ({}), or a wider board ({}).", tails, Key("joint.width"))


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


def _usual_slope(layout: Layout) -> Words:
    """The usual slopes at which the necks hold; where none does, what else holds at the nearest of them."""
    good = usual_slopes(layout.recipe, partial(holds, groove=layout.groove))
    if good:
        steepest, flattest = min(good), max(good)
        if steepest == flattest:
            return message("Take a {} of 1:{:g}.", Key("joint.slope"), flattest)
        return message("Take {} from 1:{:g} to 1:{:g}.", Key("joint.slope"), steepest, flattest)
    usual = min(max(layout.ratio, tol.USUAL_RATIO_STEEP), tol.USUAL_RATIO_FLAT)
    ways = ways_to_hold(replace(layout, recipe=replace(layout.recipe, slope_ratio=usual)))
    if not ways:
        return message("Take fewer and wider tails ({}) first.", Key("joint.tails"))
    return message("Take {} = 1:{:g} with {}.", Key("joint.slope"), usual, ways[0])


def _half_pins(layout: Layout) -> Finding | None:
    recipe = layout.recipe
    limit = thinner_than_rule(recipe)
    if limit is None:
        return None
    return Finding(
        code="half-pin",
        severity="warning",
        sentence=message(
            "The half pins of {} are thinner than the rule, as you asked: they may split when the joint is driven "
            "home.",
            fine(recipe.half_pin),
        ),
        measured=recipe.half_pin,
        limit=limit,
        unit="mm",
        remedy=message("Clamp across the width while you assemble, or widen {}.", Key("joint.half_pin")),
    )


def _lap(layout: Layout) -> Finding | None:
    recipe = layout.recipe
    if not layout.is_half_blind or recipe.lap >= tol.LAP_THIN:
        return None
    return Finding(
        code="lap",
        severity="warning",
        sentence=message("A lap of {} is thin and may break out.", fine(recipe.lap)),
        measured=recipe.lap,
        limit=tol.LAP_THIN,
        unit="mm",
        remedy=message("Take {} of {} or more.", Key("joint.lap"), at_least(tol.LAP_THIN)),
    )


def _loose(layout: Layout) -> Finding | None:
    recipe = layout.recipe
    if recipe.flank_gap <= tol.GLUE_GAP:
        return None
    return Finding(
        code="loose",
        severity="warning",
        sentence=message("A flank gap of {} shows as a line and is more than glue likes.", fine(recipe.flank_gap)),
        measured=recipe.flank_gap,
        limit=tol.GLUE_GAP,
        unit="mm",
        remedy=message("Take {} of {} or less.", Key("fit.flank_gap"), at_most(tol.GLUE_GAP)),
    )


def _wide_tail(layout: Layout) -> Finding | None:
    widest = max(layout.tails, key=lambda tail: tail.width)
    if widest.width <= tol.TAIL_WIDEST + tol.LEAST_FEATURE:
        return None
    return Finding(
        code="wide-tail",
        severity="warning",
        sentence=message("Tail {} is {} wide. Over 1 3/4 in, it holds less.", widest.number, fine(widest.width)),
        place=f"tail {widest.number}",
        measured=widest.width,
        limit=tol.TAIL_WIDEST,
        unit="mm",
        remedy=_more_tails(layout),
    )


def _more_tails(layout: Layout) -> Words:
    """So many more that none is too wide and the joint holds."""
    count = len(layout.tails)
    tried = ((more, with_tails(layout.recipe, more)) for more in range(count + 1, tol.MOST_TAILS + 1))
    enough = next((more for more, recipe in tried if recipe and holds(recipe, groove=layout.groove)), None)
    if enough is None:
        more = message("Take one more tail, and narrower ones, in {}.", Key("joint.spacing"))
        return more if layout.recipe.spacing == "listed" else ""
    tails = "one more tail" if enough == count + 1 else tails_in_words(enough)
    return message("Take {} ({}).", tails, Key("joint.tails"))


def _planing(layout: Layout) -> Finding | None:
    planing, land = layout.recipe.finish.planing, layout.land
    if land is None or planing <= land / 2:
        return None
    return Finding(
        code="planing",
        severity="warning",
        sentence=message(
            "Planing {} off the show face takes more than half of the land of {} that hides the undercut.",
            fine(planing),
            fine(land),
        ),
        measured=planing,
        limit=land / 2,
        unit="mm",
        remedy=message("Plane {} or less, or widen {}.", at_most(land / 2), Key("undercut.land")),
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
        sentence=message(
            "Your knife of {} does not fit the gap of {} between tails at the raw end.", fine(knife), fine(gap)
        ),
        measured=gap,
        limit=knife,
        unit="mm",
        remedy=_wider_for_knife(layout, knife),
    )


def _wider_for_knife(layout: Layout, knife: float) -> Words:
    """Pins that the knife passes between and with which the joint holds."""
    recipe = layout.recipe
    enough = at_least(knife + 2 * recipe.tail_board.proud / layout.ratio)
    wider = with_pins(recipe, "joint.pin", parse_length(enough.said(recipe.units)))
    pins = message(", or a {} of {} or more", Key("joint.pin"), enough)
    return message("Take a thinner knife{}.", pins if holds(wider, groove=layout.groove) else "")


def _chisels(layout: Layout) -> Finding | None:
    """Sockets into which none of the maker's own chisels goes; nothing is said where the kit names none."""
    if not layout.recipe.kit.chisels:
        return None
    tight = [fit for fit in bench_of(layout).chisels if fit.own is None]
    if not tight:
        return None
    tightest = min(tight, key=lambda fit: fit.widest)
    others = f", nor {len(tight) - 1} more of the cuts" if len(tight) > 1 else ""
    if tightest.board == "tail board":
        mend = message("widen {}", Key("joint.pin"))
    elif len(layout.tails) > 1:
        mend = message("take fewer, wider tails ({})", Key("joint.tails"))
    else:
        mend = message("narrow {}", Key("joint.half_pin"))
    return Finding(
        code="chisel",
        severity="warning",
        sentence=f"None of your chisels fits {tightest.sockets}, {tightest.side}{others}.",
        measured=tightest.widest,
        limit=min(layout.recipe.kit.chisels),
        unit="mm",
        remedy=message("One of {} or less would fit; or {}.", at_most(tightest.widest), mend),
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

    def say(part: WeakPart, how: Callable[..., str]) -> Words:
        return message("at the {}, with about {}", part.name, Amount(how, part.least, part.most))

    return Finding(
        code="strength",
        severity="note",
        sentence=message(
            "To compare layouts only, not to design with. Pulled apart, it gives first {}, when glued; without glue, "
            "or once that has let go, {}. Racked out of square, which is how boxes fail, it gives first {}, when "
            "glued.",
            say(found.glued[0], format_forces),
            say(found.dry[0], format_forces),
            say(found.racked[0], format_moments),
        ),
        measured=found.glued[0].least,
        unit="N",
    )


def _entry_chamfer(layout: Layout) -> Finding | None:
    c = layout.recipe.entry_chamfer.width
    if not layout.chamfer_reach:
        return None
    lost = layout.chamfer_reach * c / (layout.depth * layout.recipe.tail_board.thickness)
    return Finding(
        code="entry-chamfer",
        severity="note",
        sentence=message(
            "The entry chamfer of {} ends {} short of the raw end and takes {:.1f} % of each flank's contact and glue. "
            "It does not change how the joint locks.",
            fine(c),
            fine(layout.chamfer_stop),
            100 * lost,
        ),
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
        sentence=message(
            "Up to {} may be planed off the show faces and no undercut shows. {} would open a gap of {}. What stands "
            "proud does not count.",
            *map(fine, (layout.planing_left, land + past, gap)),
        ),
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
    shifted = message(" and each board by {}", finest(recipe.hand.shift)) if recipe.hand.shift else ""
    return Finding(
        code="hand-work",
        severity="note",
        sentence=message(
            "If each flank errs by {}{}, {} of such joints come out right: no gap over {}, no flank tighter than the "
            "wood forgives. A flank gap of {} would make it {}.",
            finest(recipe.hand.sigma),
            shifted,
            _percent(found.right),
            finest(tol.GAP_SHOWS),
            finest(found.best_gap),
            _percent(found.best_right),
        ),
        measured=100 * found.right,
        unit="%",
    )


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %" if share >= 0.01 else "fewer than 1 %"
