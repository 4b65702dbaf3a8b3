"""Remarks on a layout: what no hand can cut, and warnings about what can be cut but may disappoint, such as steep or
flat slopes, thin laps and half pins, loose fits.

Pure arithmetic on a layout; every limit and its source stand in `tolerances.py`.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import partial

from solids.base import tolerances as tol
from solids.base.amounts import at_least, at_most, fine, marked, most
from solids.base.findings import Finding
from solids.base.geometry import as_compared
from solids.base.messages import Key, Words, capital, message, renamed, series
from solids.base.parsing import parse_length
from solids.base.sources import COMMON_PRACTICE, FROM_MEMORY, OWN_SIZES
from solids.bench.cup import cup_warning
from solids.bench.movement import mismatch_warning, step_warning
from solids.bench.settings import EDGES, Bevel, bench_of, bevels, who_has
from solids.bench.uneven import uneven_warning
from solids.layout import (
    Frail,
    Layout,
    frail_parts,
    holds,
    tails_in_words,
    usual_slopes,
    ways_to_hold,
    with_pins,
    with_tails,
)


def remarks(layout: Layout) -> tuple[Finding, ...]:
    """What no hand can cut, which fails, and warnings about what is accepted as it stands."""
    own = (_steep, _flat, _half_pins, _lap, _loose, _wide_tail, _planing, _knife, _chisels, _rebate_shows)
    checks = (*own, uneven_warning, cup_warning, mismatch_warning, step_warning)
    found = [finding for check in checks if (finding := check(layout))]
    return tuple(_meant(layout, each) for each in (*map(partial(_frail, layout), frail_parts(layout)), *found))


SOURCES_OF = {
    "chisel": OWN_SIZES,
    "knife": OWN_SIZES,
    "planing": OWN_SIZES,
    "mismatch": FROM_MEMORY,
    "cup": FROM_MEMORY,
}
"""Where a remark's limit comes from, by its code, unless it is common practice."""


def _meant(layout: Layout, finding: Finding) -> Finding:
    """A remark with the source of its limit, under the keys that a box has for those of its corner."""
    return replace(
        finding,
        remedy=renamed(finding.remedy, dict(layout.keys)),
        source=SOURCES_OF.get(finding.code, COMMON_PRACTICE),
        units=layout.recipe.units,
    )


def _warning(
    code: str, sentence: Words, measured: float, limit: float, remedy: Words, *, place: str = "", unit: str = "mm"
) -> Finding:
    return Finding(code, "warning", sentence, place, measured, limit, unit, remedy)


def _frail(layout: Layout, frail: Frail) -> Finding:
    """A neck or pin too thin to be cut, or one that may break, with the nearest layouts that hold."""
    ways = ways_to_hold(layout)
    what = f"The neck of {frail.place}" if frail.part == "neck" else capital(frail.place)
    verb = "are" if frail.is_all else "is"
    told = message("{} {} {} wide, under {}: {}.", what, verb, fine(frail.width), fine(frail.least), frail.why)
    remedy = message("Take {}.", series(ways)) if ways else _fewer_or_wider(layout)
    code = f"thin-{frail.part.replace(' ', '-')}"
    found = _warning(code, told, frail.width, frail.least, remedy, place=frail.place)
    return replace(found, severity="fail", sentence=message("{} No hand can cut that.", told)) if frail.uncut else found


def _fewer_or_wider(layout: Layout) -> Words:
    tails = Key("joint.spacing" if layout.recipe.spacing == "listed" else "joint.tails")
    return message("Take fewer and wider tails ({}), or a wider board ({}).", tails, Key("joint.width"))


def _steep(layout: Layout) -> Finding | None:
    """The steepest slope, where it is steeper than usual."""
    bevel = bevels(layout)[0]
    if bevel.ratio >= tol.USUAL_RATIO_STEEP:
        return None
    words = "steeper than the usual 1:5 to 1:8: the short grain at the corners of the tails may break"
    return _unusual(layout, bevel, words, tol.USUAL_RATIO_STEEP)


def _flat(layout: Layout) -> Finding | None:
    """The flattest slope, where it is flatter than usual; a flank that is square, or runs outward, may hold nothing."""
    bevel = bevels(layout)[-1]
    if 0.0 < bevel.ratio <= tol.USUAL_RATIO_FLAT:
        return None
    if bevel.flanks[0].lean > 0.0:
        return _unusual(layout, bevel, "flatter than the usual 1:5 to 1:8: it holds little", tol.USUAL_RATIO_FLAT)
    runs = "square" if bevel.flanks[0].lean == 0.0 else "running outward"
    told = f"A flank that is {runs} holds nothing by itself ({who_has(bevels(layout))[-1]}): the others hold the joint."
    return Finding("slope", "note", told, place=bevel.flanks[0].name)


def _unusual(layout: Layout, bevel: Bevel, words: str, limit: float) -> Finding:
    """A slope out of the usual, with the flanks that have it where there are several."""
    if len(layout.ratios) == 1:
        sentence = f"A slope of 1:{bevel.ratio:.3g} is {words}."
        return _warning("slope", sentence, bevel.ratio, limit, _usual_slope(layout), unit="")
    who = who_has(bevels(layout))[layout.ratios.index(bevel.ratio)]
    sentence = f"A slope of 1:{bevel.ratio:.3g} ({who}) is {words}."
    key = Key("joint.flanks" if layout.recipe.listed.faces else "joint.slope")
    remedy = message("Give it a slope from 1:{:g} to 1:{:g} ({}).", tol.USUAL_RATIO_STEEP, tol.USUAL_RATIO_FLAT, key)
    return _warning("slope", sentence, bevel.ratio, limit, remedy, place=bevel.flanks[0].name, unit="")


def _usual_slope(layout: Layout) -> Words:
    """The usual slopes at which the necks hold; where none does, what else holds at the nearest of them."""
    good = usual_slopes(layout.recipe, partial(holds, groove=layout.groove))
    if good:
        steepest, flattest = min(good), max(good)
        if steepest == flattest:
            return message("Take a {} of 1:{:g}.", Key("joint.slope"), flattest)
        return message("Take {} from 1:{:g} to 1:{:g}.", Key("joint.slope"), steepest, flattest)
    usual = min(max(layout.ratios[0], tol.USUAL_RATIO_STEEP), tol.USUAL_RATIO_FLAT)
    ways = ways_to_hold(replace(layout, recipe=replace(layout.recipe, slope_ratio=usual)))
    if not ways:
        return message("Take fewer and wider tails ({}) first.", Key("joint.tails"))
    return message("Take {} = 1:{:g} with {}.", Key("joint.slope"), usual, ways[0])


def _half_pins(layout: Layout) -> Finding | None:
    """The thinnest half pin at the finished face, where it breaks the rule: 5 mm or the inner pins, whichever is
    more."""
    widths, numbers = layout.tail_board_gaps(layout.depth), layout.counted(range(1, len(layout.gaps) + 1))
    halves = list(zip(layout.of_half_pins(widths), layout.of_half_pins(numbers), strict=True))
    inner = min(layout.of_full_pins(widths), default=0.0)
    half_pin, number = min(halves, key=lambda half: as_compared(half[0]), default=(math.inf, 0))
    limit = max(inner, tol.HALF_PIN_LEAST)
    slack = tol.ROUNDING if inner > tol.HALF_PIN_LEAST - tol.ROUNDING else -tol.ROUNDING
    if half_pin > limit + slack:
        return None
    by_rule = limit <= tol.HALF_PIN_LEAST + tol.ROUNDING
    told = "thinner than the rule, as you asked" if by_rule else "no wider than the pins"
    alike = len({as_compared(width) for width, _ in halves}) == 1
    what, verb, they = ("The half pins", "are", "they") if alike else (f"Half pin {number}", "is", "it")
    words = f"{what} of {{}} {verb} {told}: {they} may split when the joint is driven home."
    remedy = message("Clamp across the width while you assemble, or widen {}.", Key("joint.half_pin"))
    return _warning("half-pin", message(words, fine(half_pin)), half_pin, limit, remedy)


def _lap(layout: Layout) -> Finding | None:
    lap = layout.recipe.least_lap
    if not layout.is_half_blind or lap >= tol.LAP_THIN:
        return None
    remedy = message(
        "Take {} of {} or more.", Key("joint.lap"), at_least(tol.LAP_THIN + layout.recipe.pin_board.uneven)
    )
    return _warning("lap", message("A lap of {} is thin and may break out.", fine(lap)), lap, tol.LAP_THIN, remedy)


def _loose(layout: Layout) -> Finding | None:
    gap = layout.recipe.flank_gap
    if gap <= tol.GLUE_GAP:
        return None
    sentence = message("A flank gap of {} shows as a line and is wider than glue likes.", fine(gap))
    remedy = message("Take {} of {} or less.", Key("fit.flank_gap"), at_most(tol.GLUE_GAP))
    return _warning("loose", sentence, gap, tol.GLUE_GAP, remedy)


def _wide_tail(layout: Layout) -> Finding | None:
    broad = max(layout.tails, key=lambda tail: tail.width)
    widest = layout.recipe.widest_tail
    if broad.width <= widest + tol.LEAST_FEATURE:
        return None
    sentence = message(
        "Tail {} is {} wide. Over {}, it holds less.", broad.number, marked(broad.width), at_most(widest)
    )
    place = f"tail {broad.number}"
    return _warning("wide-tail", sentence, broad.width, widest, _more_tails(layout), place=place)


def _more_tails(layout: Layout) -> Words:
    """As many more tails as it takes for none to be too wide and the joint to hold; where none do, narrower ones."""
    count = len(layout.tails)
    tried = ((more, with_tails(layout.recipe, more)) for more in range(count + 1, tol.MOST_TAILS + 1))
    enough = next((more for more, recipe in tried if recipe and holds(recipe, groove=layout.groove)), None)
    if enough is None:
        if layout.recipe.spacing == "listed":
            return message("Take one more tail, and narrower ones, in {}.", Key("joint.spacing"))
        if with_tails(layout.recipe, count + 1) is None:  # how they would grow is not known
            return message("Take more tails ({}).", Key("joint.tails"))
        if layout.recipe.spacing == "graduated":
            return message("No more tails would hold here: let them grow by less ({}).", Key("joint.grading"))
        return message("No more tails would hold here: widen the half pins ({}).", Key("joint.half_pin"))
    tails = "one more tail" if enough == count + 1 else tails_in_words(enough)
    return message("Take {} ({}).", tails, Key("joint.tails"))


def _planing(layout: Layout) -> Finding | None:
    planing, land = layout.recipe.finish.planing, layout.land
    if land is None or planing <= land / 2:
        return None
    words = "Planing {} off the show face takes more than half of the land of {} that hides the undercut."
    remedy = message("Plane {} or less, or widen {}.", at_most(land / 2), Key("undercut.land"))
    return _warning("planing", message(words, fine(planing), fine(land)), planing, land / 2, remedy)


def _knife(layout: Layout) -> Finding | None:
    """The knife must stand in the gap between two tails at the raw end to mark the pins."""
    knife = layout.recipe.kit.knife
    spans = zip(layout.gaps, layout.gap_spans(layout.as_cut.tail_end), strict=True)
    gaps = [(right - left, gap) for gap, (left, right) in spans if not gap.is_half]
    width, narrowest = min(gaps, key=lambda each: each[0], default=(math.inf, None))
    if narrowest is None or knife <= width + tol.ROUNDING:
        return None
    alike = len({as_compared(width) for width, _ in gaps}) == 1
    low, high = sorted(flank.tail for flank in narrowest.flanks)
    which = "tails" if alike else f"tails {low} and {high}"
    told = message(
        "Your knife of {} does not fit the gap of {} between {} at the raw end.", fine(knife), most(width), which
    )
    return _warning("knife", told, width, knife, _wider_for_knife(layout, knife))


def _wider_for_knife(layout: Layout, knife: float) -> Words:
    """Pins that the knife passes between and with which the joint holds."""
    recipe = layout.recipe
    if not recipe.listed.is_empty:
        return "Take a thinner knife, or a wider gap there."
    enough = at_least(knife + 2 * recipe.tail_board.proud * layout.flanks[0].lean)
    wider = with_pins(recipe, "joint.pin", parse_length(enough.said(recipe.units)))
    pins = message(", or a {} of {} or more", Key("joint.pin"), enough)
    return message("Take a thinner knife{}.", pins if holds(wider, groove=layout.groove) else "")


def _chisels(layout: Layout) -> Finding | None:
    """Sockets that none of the maker's own chisels fits; nothing is said where the kit names none."""
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
    sentence = f"None of your chisels fits {tightest.sockets}, {tightest.side}{others}."
    remedy = message("One of {} or less would fit; or {}.", at_most(tightest.widest), mend)
    return _warning("chisel", sentence, tightest.widest, min(layout.recipe.kit.chisels), remedy)


def _rebate_shows(layout: Layout) -> Finding | None:
    """At an edge of the corner that is not mitred the rebate shows as a step between the boards."""
    edges = [name for name, mitre in zip(EDGES, layout.recipe.mitre, strict=True) if not mitre]
    if not layout.rebate or not edges:
        return None
    where = "both edges" if len(edges) == len(EDGES) else f"the {edges[0]}"
    sentence = message("The rebate shows at {} of the corner, as a step of {}.", where, fine(layout.rebate))
    beside = [edge for edge, mitre in zip(layout.recipe.listed.edges, layout.recipe.mitre, strict=True) if not mitre]
    if layout.is_half_blind or "half pin" not in beside:
        return Finding("rebate", "note", sentence)
    there = "there" if "half tail" not in beside else "beside the half pin"
    enough = at_least(tol.HALF_PIN_LEAST)
    remedy = message("A mitred shoulder ({}) of {} or more {} hides it.", Key("joint.mitre"), enough, there)
    return Finding("rebate", "note", sentence, remedy=remedy)
