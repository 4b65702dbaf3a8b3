"""Layouts side by side: the same recipe with other looks, numbers of tails and slopes, and what each would mean."""

from __future__ import annotations

import copy
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

from solids.base import tolerances as tol
from solids.base.errors import InputError, RecipeError
from solids.base.forces import NEWTON_METRES_PER_POUND_INCH, NEWTONS_PER_POUND_FORCE
from solids.base.lengths import CALIPER, MOST, bare_length
from solids.base.messages import Units, capital
from solids.base.parsing import parts_of
from solids.bench.assumed import Range, WoodFigures, over_common_woods, wood_figures
from solids.bench.hand_error import HandWork, hand_work
from solids.bench.movement import no_wood_named
from solids.bench.remarks import remarks
from solids.bench.settings import BETWEEN_TAILS, bench_of
from solids.bench.strength import Screening, screening
from solids.bench.worktime import Minutes, piece_minutes
from solids.layout import Layout, can_be_cut, frail_parts, place, tails_in_words, with_tails
from solids.layout.assembly import Assembly, assembly_of
from solids.layout.joint.shape.slopes import all_slopes
from solids.layout.plan import laid_out
from solids.recipe.completing.corner.looks import LOOKS
from solids.recipe.completing.shop import NO_SHOP, Shop
from solids.recipe.tables.keys import value_at
from solids.recipe.text.reading import check_piece, raw_recipe
from solids.recipe.text.toml import Raw

MOST_CHOICES = 20
"""Of tails, and of slopes: nobody compares more rows than that."""


@dataclass(frozen=True)
class Figures:
    """What one layout means: what hangs on the wood, as a range where none was named; the widest chisels that fit
    between tails (None where there is one tail) and in a socket's narrowest place, and those of the maker's own that go
    into every socket. `warnings` are the codes of the remarks, `failures` says what no hand can cut."""

    strength: Screening
    hand: HandWork
    over_woods: WoodFigures
    time: Minutes
    widest_between_tails: float | None
    widest_in_sockets: float
    own_chisels: tuple[float, ...]
    warnings: tuple[str, ...]
    failures: tuple[str, ...]


@dataclass(frozen=True)
class Candidate:
    """One combination: its layout and figures, or why it is refused. None stands for what the recipe itself says; a
    look chooses the pins, half pins and tails that the recipe may name. In a box each kind of corner has its own, and
    `corner` names it."""

    corner: str
    look: str | None
    tails: int | None
    slope: str | None
    layout: Layout | None
    figures: Figures | None
    refusal: str


def compare(
    source: str,
    overrides: Iterable[str],
    tails: Iterable[int],
    slopes: Iterable[str],
    looks: Iterable[str | None] = (),
    shop: Shop = NO_SHOP,
) -> list[Candidate]:
    """Every combination of looks, slopes and tails on one recipe, in the order given; an empty list keeps the recipe's
    own, and so does None among the looks.

    Raises as `read_recipe` does where the recipe itself cannot be read; a combination that is refused is a row.
    """
    raw, problems = raw_recipe(source, overrides)
    check_piece(raw, problems, shop)
    counts: list[int | None] = [*tails] or [None]
    ratios: list[str | None] = [*slopes] or [None]
    tried = product([*looks] or [None], ratios, counts)
    return [each for choice in tried for each in _candidates(copy.deepcopy(raw), shop, *choice)]


def _candidates(raw: Raw, shop: Shop, look: str | None, slope: str | None, tails: int | None) -> Iterator[Candidate]:
    """One combination, tried at every kind of corner of the piece, whatever single corners ask for."""
    joint, *corners = _joint_tables(raw)
    asked = {key: value for key, value in (("slope", slope), ("tails", tails)) if value is not None}
    for table in (joint, *corners):
        _leave_to(look, table)
        table |= {key: value for key, value in asked.items() if table is joint or key in table}
    try:
        piece = assembly_of(laid_out(raw, (), shop))
    except RecipeError as err:
        yield Candidate("", look, tails, slope, None, None, "; ".join(map(str, err.told)))
        return
    for own in as_it_is(piece):
        yield replace(own, look=look, tails=tails, slope=slope)


def as_it_is(piece: Assembly) -> Iterator[Candidate]:
    """Each kind of corner of a piece, with nothing tried."""
    for kind in piece.kinds:
        yield Candidate(kind.title, None, None, None, kind.layout, figures_of(kind.layout), "")


def _joint_tables(raw: Raw) -> list[Raw]:
    """The table of the joint, and those of the corners of a box that differ from it."""
    corners = value_at(raw, "box.joints") or {}
    return [raw.setdefault("joint", {}), *corners.values()]


def _leave_to(look: str | None, joint: Raw) -> None:
    """Takes out of a joint's table what a look chooses. Flanks that are given one by one fix the tails."""
    if look is None:
        return
    for key in ("tails", "pin", "half_pin", "allow_thin_half_pin", "flanks"):
        joint.pop(key, None)
    if isinstance(joint.get("spacing"), list):
        del joint["spacing"]
    joint["look"] = look


def figures_of(layout: Layout) -> Figures:
    """The figures of one layout."""
    chisels, told = bench_of(layout).chisels, remarks(layout)
    between = [fit.widest for fit in chisels if fit.where.startswith(BETWEEN_TAILS)]
    sockets = [fit for fit in chisels if fit.board == "pin board"]
    return Figures(
        strength=screening(layout),
        hand=hand_work(layout),
        over_woods=wood_figures(layout),
        time=piece_minutes([layout]),
        widest_between_tails=min(between, default=None),
        widest_in_sockets=min(sockets, key=lambda fit: (fit.is_open, fit.widest)).widest,
        own_chisels=tuple(
            width
            for width in sorted(layout.recipe.kit.chisels)
            if all(fit.is_open or width <= fit.widest + tol.ROUNDING for fit in chisels)
        ),
        warnings=tuple(finding.code for finding in told if finding.severity == "warning"),
        failures=tuple(finding.said for finding in told if finding.severity == "fail"),
    )


def with_other_tails(layout: Layout, counts: Iterable[int]) -> Iterator[Layout]:
    """The same joint with other numbers of tails, in its own spacing, and as it is where that is its number. Those that
    are refused, or that no hand can cut, are left out; nothing else comes where a list fixes tails, pins or slopes."""
    for count in counts:
        recipe = with_tails(layout.recipe, count)
        if count == len(layout.tails):
            yield layout
        elif recipe and can_be_cut(recipe, layout.groove):
            other = replace(layout, recipe=recipe, tails=place(recipe, mirrored=layout.mirrored).tails)
            if not any(frail.uncut for frail in frail_parts(other)):
                yield other


# --- in words ------------------------------------------------------------------------------------


_IN: dict[Units, tuple[str, ...]] = {"mm": ("mm", "cm2", "kN", "N m"), "in": ("in", "sq in", "lbf", "lbf in")}


def compare_heads(units: Units) -> tuple[str, ...]:
    """The heads of the columns; units stand here, so that a row fits a narrow terminal."""
    size, area, pull, moment = _IN[units]
    return (
        *("tails", "slope", f"tail {size}", f"glue {area}", f"glued {pull}", f"dry {pull}"),
        *("dry, at", f"rack {moment}", "right %", "pared %", f"chisel {size}", "min"),
    )


def compare_words(units: Units) -> tuple[str, ...]:
    """The same where there is room for words."""
    size, area, pull, moment = _IN[units]
    return (
        *("Tails", "Slope", f"The narrowest tail ({size})", f"Glue, long grain to long grain ({area})"),
        *(f"Glued, it gives at a pull of ({pull})", f"Without glue, it gives at a pull of ({pull})"),
        *("Without glue, what gives first", f"Glued, it gives when racked by ({moment})", "Right off the saw, of 100"),
        *("Right once pared, of 100", f"Chisel for every socket ({size})", "Work (minutes)"),
    )


def compare_tables(candidates: Sequence[Candidate]) -> list[tuple[str, list[tuple[str, ...]]]]:
    """Layouts side by side: for each kind of corner its name, "" for a joint alone, and a row for each; one that is
    refused has no figures. Kinds whose rows are alike share them."""
    found: list[tuple[str, list[tuple[str, ...]]]] = []
    for kind in dict.fromkeys(each.corner for each in candidates if each.layout) or ("",):
        rows = [_row(each) for each in candidates if each.corner == kind or each.layout is None]
        alike = next((at for at, (_, known) in enumerate(found) if known == rows), None)
        if alike is None:
            found.append((capital(kind), rows))
        else:
            found[alike] = f"{found[alike][0]} and {kind}", rows
    return found


def _row(candidate: Candidate) -> tuple[str, ...]:
    layout = candidate.layout
    if layout is None:
        return (*_asked(candidate), "-", *[""] * (len(compare_heads("mm")) - 3))
    return row_in(candidate, layout.recipe.units)


def row_in(candidate: Candidate, units: Units) -> tuple[str, ...]:
    """The figures of a layout in these units; empty cells where it is refused."""
    layout, figures = candidate.layout, candidate.figures
    if layout is None or figures is None:
        return ("",) * len(compare_heads(units))
    woods = figures.over_woods
    force = NEWTONS_PER_POUND_FORCE if units == "in" else 1000.0
    between = figures.widest_between_tails
    widest = figures.widest_in_sockets if between is None else min(between, figures.widest_in_sockets)
    look = f" {candidate.look}" if candidate.look else ""
    return (
        f"{len(layout.tails)}{look}",
        all_slopes(layout),
        bare_length(min(tail.width for tail in layout.tails), units),
        f"{figures.strength.glue_area / (645.16 if units == 'in' else 100):.2f}",
        _bare_load(woods.glued, force),
        _bare_load(woods.dry, force),
        ", ".join(woods.dry_parts),
        _bare_load(woods.racked, NEWTON_METRES_PER_POUND_INCH if units == "in" else 1.0),
        _in_hundred(woods.right),
        _in_hundred(woods.pared),
        _chisels(layout, figures, widest, units),
        f"{figures.time.least:.0f}-{figures.time.most:.0f}",
    )


def _asked(candidate: Candidate) -> tuple[str, str]:
    """What was tried, in words; what was left to the recipe is a dash."""
    return "-" if candidate.tails is None else str(candidate.tails), candidate.slope or "-"


def _in_words(candidate: Candidate) -> str:
    """ "4 tails, slope 1:6", or what of it was asked."""
    look = candidate.look and f"the {candidate.look} look"
    tails = None if candidate.tails is None else tails_in_words(candidate.tails)
    slope = candidate.slope and f"slope {candidate.slope}"
    return ", ".join(part for part in (look, tails, slope) if part) or "the recipe as it is"


def _chisels(layout: Layout, figures: Figures, widest: float, units: Units) -> str:
    """The maker's own that go into every socket; where the kit names none, the widest that would."""
    if not layout.recipe.kit.chisels:
        return bare_length(widest, units, MOST)
    return ", ".join(bare_length(width, units, CALIPER) for width in figures.own_chisels) or "none"


def _bare_load(loads: Range | None, unit: float) -> str:
    """What the weakest part holds, in two figures of a unit: "2.5", "2.8-5.2"."""
    return "-".join(dict.fromkeys(f"{float(f'{load / unit:.2g}'):g}" for load in loads or ()))


def _in_hundred(shares: Range) -> str:
    """ "20", "20-69"."""
    return "-".join(dict.fromkeys(f"{100 * share:.0f}" for share in shares))


AVERAGES = (
    "from averages of small clear pieces without any factor of safety, as a range where the source has one: to compare "
    "layouts with, never to design with."
)
"""What loads are, which every table of them must say."""

NOTES = (
    "tail: the narrowest. glue: area that holds, long grain to long grain. glued, dry: the pull at which the weakest "
    "part gives; rack: the moment out of square at which a glued corner gives, as boxes fail. All are "
    f"{AVERAGES} right: how many joints in a hundred are right off the saw by the hand's error in the "
    "recipe; pared: how many once what is tight is pared. chisel: the widest that goes into every socket, or those of "
    "your kit that do. min: about how many minutes, from a practised hand to an unhurried one."
)
"""What the columns mean."""


def compare_notes(candidates: Iterable[Candidate]) -> list[str]:
    """Notes on the woods where none was named, and on each layout: why it is refused, or what to watch."""
    tried = list(candidates)
    layouts = (candidate.layout for candidate in tried if candidate.layout)
    notes = list(dict.fromkeys(note for layout in layouts if (note := _assumed(layout))))
    for candidate in tried:
        what = _in_words(candidate) + (f", {candidate.corner}" if candidate.corner else "")
        figures = candidate.figures
        if figures is None:
            notes.append(f"{what}: refused. {candidate.refusal}")
            continue
        notes += [f"{what}: fails. {sentence}" for sentence in figures.failures]
        if figures.warnings:
            notes.append(f"{what}: see its warnings about {', '.join(figures.warnings)}")
    return notes


def _assumed(layout: Layout) -> str:
    """What the ranges go over; empty where the recipe names its woods."""
    wood = layout.recipe.assumed_wood
    if wood is None:
        return ""
    what = f"glued, dry, rack, right and pared are told {over_common_woods()}"
    return f"{no_wood_named(layout)}: {what}; min is for {wood.name}."


# --- what to compare -----------------------------------------------------------------------------


def counts_in(text: str) -> list[int]:
    """Numbers of tails in "3,4,5"; InputError where one is no whole number that a joint may have."""
    parts = _parts("--tails", text)
    known = {str(number): number for number in range(1, tol.MOST_TAILS + 1)}
    if not all(part in known for part in parts):
        raise InputError(
            f"--tails {text[:60]!r} is not a list of whole numbers from 1 to {tol.MOST_TAILS}; write it as in "
            "--tails 3,4,5"
        )
    return [known[part] for part in parts]


def looks_in(text: str) -> list[str]:
    """Looks in "fine,stout"; InputError where one is no look."""
    parts = _parts("--look", text)
    if not set(parts) <= set(LOOKS):
        raise InputError(
            f"--look {text[:60]!r} is not a list of looks; there are: {', '.join(LOOKS)}. Write it as in --look "
            f"{EXAMPLES['--look']}"
        )
    return parts


def slopes_in(text: str) -> list[str]:
    """Slopes in "1:6,1:7", as the recipe writes them; each is checked with the recipe."""
    return _parts("--slope", text)


EXAMPLES = {"--look": "fine,stout", "--tails": "3,4,5", "--slope": "1:6,1:8"}


def _parts(option: str, text: str) -> list[str]:
    if not text:
        return []
    parts = parts_of(option, text, EXAMPLES[option])
    if len(parts) > MOST_CHOICES:
        raise InputError(f"{option} has {len(parts)} choices, more than fit a table; give at most {MOST_CHOICES}")
    return parts
