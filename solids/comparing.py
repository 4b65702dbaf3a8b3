"""Layouts side by side: the same recipe with other numbers of tails and other slopes, and what each would mean."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from solids.bench import bench_of
from solids.errors import InputError, RecipeError
from solids.handwork import HandWork
from solids.layout import Layout, lay_out
from solids.lengths import format_cell, format_force
from solids.recipe import read_recipe
from solids.remarks import hand_work, remarks
from solids.strength import Screening, screening
from solids.worktime import WorkTime, work_time

MOST_CHOICES = 20
"""Of tails, and of slopes: more rows than that nobody compares."""


@dataclass(frozen=True)
class Figures:
    """What one layout means: `chisels` are the widest blades that fit between tails, in a socket's narrowest place, and
    of the maker's own how many kinds of socket find one. `warnings` are the codes of the remarks."""

    strength: Screening
    hand: HandWork
    time: WorkTime
    widest_between_tails: float | None
    widest_in_sockets: float
    own_fit: int
    own_asked: int
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class Candidate:
    """One combination: its layout and figures, or why it is refused. None stands for what the recipe itself says."""

    tails: int | None
    slope: str | None
    layout: Layout | None
    figures: Figures | None
    refusal: str


def compare(source: str, overrides: Iterable[str], tails: Iterable[int], slopes: Iterable[str]) -> list[Candidate]:
    """Every combination of tails and slopes on one recipe, in the order given; an empty list keeps the recipe's own.

    Raises as `read_recipe` does where the recipe itself, or a slope, cannot be read at all.
    """
    own = list(overrides)
    read_recipe(source, own)
    counts: list[int | None] = [*tails] or [None]
    ratios: list[str | None] = [*slopes] or [None]
    return [_candidate(source, own, count, slope) for slope in ratios for count in counts]


def _candidate(source: str, overrides: list[str], tails: int | None, slope: str | None) -> Candidate:
    try:
        layout = lay_out(read_recipe(source, [*overrides, *_keys(tails, slope)]))
    except RecipeError as err:
        return Candidate(tails, slope, None, None, "; ".join(str(problem) for problem in err.problems))
    return Candidate(tails, slope, layout, figures_of(layout), "")


def _keys(tails: int | None, slope: str | None) -> Iterator[str]:
    if tails is not None:
        yield f"joint.tails={tails}"
    if slope is not None:
        yield f'joint.slope="{slope}"'


def figures_of(layout: Layout) -> Figures:
    """The figures of one layout."""
    chisels = bench_of(layout).chisels
    between = [fit.widest for fit in chisels if fit.sockets.endswith("between tails")]
    return Figures(
        strength=screening(layout),
        hand=hand_work(layout),
        time=work_time(layout),
        widest_between_tails=min(between, default=None),
        widest_in_sockets=min(fit.widest for fit in chisels if fit.sockets.startswith("pin board")),
        own_fit=sum(fit.own is not None for fit in chisels) if layout.recipe.kit.chisels else 0,
        own_asked=len(chisels) if layout.recipe.kit.chisels else 0,
        warnings=tuple(finding.code for finding in remarks(layout)),
    )


# --- in words ------------------------------------------------------------------------------------

COMPARE_HEADS = (
    "tails",
    "slope",
    "tail",
    "glue area",
    "glued",
    "dry",
    "gives first, dry",
    "right of 100",
    "chisels",
    "minutes",
    "watch",
)


def compare_rows(candidates: Iterable[Candidate]) -> list[tuple[str, ...]]:
    """Layouts side by side; one that is refused names the key at fault."""
    return [_compare_row(candidate) for candidate in candidates]


def _compare_row(candidate: Candidate) -> tuple[str, ...]:
    layout, figures = candidate.layout, candidate.figures
    if layout is None or figures is None:
        asked = (str(candidate.tails or "own"), candidate.slope or "own")
        return (*asked, *[""] * (len(COMPARE_HEADS) - 3), "refused")
    units, strength = layout.recipe.units, figures.strength
    area = f"{strength.glue_area / 645.16:.2f} sq in" if units == "in" else f"{strength.glue_area / 100:.1f} cm2"
    glued, dry = strength.glued[:1], strength.dry[:1]
    between = figures.widest_between_tails
    widest = figures.widest_in_sockets if between is None else min(between, figures.widest_in_sockets)
    own = f", {figures.own_fit} of {figures.own_asked}" if figures.own_asked else ""
    return (
        str(len(layout.tails)),
        f"1:{layout.ratio:.4g}",
        format_cell(min(tail.width for tail in layout.tails), units, 0.01),
        area,
        format_force(glued[0].pull_n, units) if glued else "",
        format_force(dry[0].pull_n, units) if dry else "",
        dry[0].name if dry else "",
        f"{100 * figures.hand.right:.0f}",
        f"up to {format_cell(widest, units, 0.01)}{own}",
        f"{figures.time.total:.0f}",
        ", ".join(figures.warnings),
    )


def compare_notes(candidates: Iterable[Candidate]) -> list[str]:
    """What the columns mean, and why a layout was refused."""
    notes = [
        "Glued and dry: the pull at which the weakest part gives. Averages of small clear pieces, no factor of safety:",
        "to compare layouts with, never to design with. Right of 100: joints that come out right by the hand's error",
        "that the recipe gives. Chisels: the widest that goes everywhere; of your kit, how many of the kinds of socket",
        "find one. Minutes: about, for a practised hand.",
    ]
    return notes + [
        f"{c.tails or 'own'} tails, slope {c.slope or 'own'}: refused. {c.refusal}" for c in candidates if c.refusal
    ]


# --- what to compare -----------------------------------------------------------------------------


def counts_in(text: str) -> list[int]:
    """Numbers of tails in "3,4,5"; InputError where one is no whole number."""
    parts = _parts(text)
    if not all(part.isascii() and part.isdigit() and len(part) <= 3 for part in parts):
        raise InputError(f"--tails {text[:60]!r} is not a list of whole numbers; write it as in --tails 3,4,5")
    return [int(part) for part in parts]


def slopes_in(text: str) -> list[str]:
    """Slopes in "1:6,1:7", as the recipe writes them; each is checked with the recipe."""
    return _parts(text)


def _parts(text: str) -> list[str]:
    parts = [part.strip() for part in text.split(",") if part.strip()]
    if len(parts) > MOST_CHOICES:
        raise InputError(f"{len(parts)} choices are more than fit a table; give at most {MOST_CHOICES}")
    return parts
