"""The glue-up page for the bench: how much glue, how long against the glue's own times, where clamps and cauls press,
and the order with boxes to tick. One upright page where it fits. PDF, set with reportlab's platypus."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Spacer

from solids.aids.cauls.keys import key_for
from solids.aids.cauls.plans import Press, plan_for_tails
from solids.base.cautions import FAILS
from solids.base.fonts import fitted
from solids.base.geometry import as_compared
from solids.base.lengths import CALIPER, format_length, own_area
from solids.base.masses import told_grams
from solids.base.messages import Units, capital, counted
from solids.bench.box_bottom import fastening_words
from solids.bench.gluing.clamping import WAXED
from solids.bench.gluing.goes import Gluing, Seat, gluing_of
from solids.bench.gluing.surfaces import GluedCorner
from solids.bench.gluing.words import (
    BOTTOM_GLUED,
    WIPED,
    caul_words,
    count_words,
    diagonal_words,
    glue_line,
    go_title,
    goes_words,
    pause_words,
    pinch_words,
    pressed_words,
    reach_words,
    told_minutes,
    told_seconds,
    trouble_words,
    where_words,
)
from solids.layout.box.kinds import kind_title
from solids.layout.box.model import with_top
from solids.proof.verdict import Verdict
from solids.write.drafting.clamping import from_above, from_outside
from solids.write.drafting.paper import PAPERS
from solids.write.drafting.sheet import Label
from solids.write.paper.typesetting.columns import BETWEEN, put_text
from solids.write.paper.typesetting.flow import cautions_flow, head, safe, style, to_tick, told_table
from solids.write.paper.typesetting.letters import BOLD, PLAIN, in_font, width_of
from solids.write.paper.typesetting.pdf import EDGE, INK, PALE, Pages

SIZES = (11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5)
CAUTION_SHARE = 0.8

TITLE_HEIGHT = 5.0
DRAWN = 66.0
"""How high the drawings are, in mm."""

NUMBER_SIZE, CAPTION_SIZE = 15.0, 8.0
"""In points. Numbers are read at arm's length, captions from closer by."""

LEAST_APART, MOST_APART = 6.0, 24.0
"""How far two numbers stand apart, in mm."""


def glue_up_bytes(proof: Verdict) -> bytes:
    """The PDF file, with letters as large as fit on one page; where none do, on as many as it takes."""
    recipe = proof.joints[0].layout.recipe
    paper = PAPERS["A4" if recipe.paper.size == "A3" else recipe.paper.size]
    title = proof.assembly.recipe.title
    file = Pages(in_font(title), "glue-up page for the bench", paper.width, paper.height)
    put_glue_up(file, proof, f"Glue-up: {title}", cautions_flow)
    file.stamp()
    file.next_page()
    return file.bytes()


def put_glue_up(
    file: Pages, proof: Verdict, title: str, cautions: Callable[[float], list[Flowable]], larger: float = 1.0
) -> None:
    """All of it from the top of this page on, `larger` on larger paper, and `cautions` at the end, for letters of a
    size. The last page is not ended."""
    gluing = gluing_of(proof.assembly, proof.parts)
    top = _put_heading(file, proof, title)
    top = _put_numbers(file, gluing, top, larger)
    top = _put_drawings(file, proof, gluing, top, larger)
    width = (file.width - 2 * EDGE - BETWEEN) / 2

    def text(size: float) -> list[Flowable]:
        return [*_text(proof, gluing, width, size), *cautions(size * CAUTION_SHARE)]

    put_text(file, text, top, [size * larger for size in SIZES])


# --- the head of the page ------------------------------------------------------------------------


def _put_heading(file: Pages, proof: Verdict, title: str) -> float:
    """The title, and a word where the piece fails. Returns the height below which the page is free (mm)."""
    lines, height = fitted(title, file.width - 2 * EDGE, TITLE_HEIGHT, most_lines=2, bold=True)
    y = file.height - EDGE - height
    file.draw(Label(text, (EDGE, y - 1.5 * height * row), height, "left", bold=True) for row, text in enumerate(lines))
    y -= 1.5 * height * (len(lines) - 1)
    if not proof.passes:
        y -= 6.0
        file.canvas.setFont(BOLD, 12)
        file.canvas.drawString(EDGE * mm, y * mm, FAILS)
    return y - 3.5


def _numbers(gluing: Gluing) -> Iterator[tuple[str, str]]:
    """What to have in mind with glue on the brush: a caption and its number."""
    glue, units = gluing.glue, gluing.units
    yield f"have ready, {glue.kind}", told_grams(gluing.pour, units)
    if gluing.goes:
        opened, assembly = told_minutes(glue.open_min), told_minutes(glue.assembly_min)
        longest = max(go.seconds for go in gluing.goes)
        each = "" if len(gluing.goes) == 1 else ", longest go"
        yield "longest from brush to closed joint", f"{told_seconds(gluing.longest_open)} of {opened}"
        yield f"first brush to last clamp{each}", f"{told_seconds(longest)} of {assembly}"
    if gluing.clamping.diagonal is not None:
        yield "both diagonals inside", format_length(gluing.clamping.diagonal, units, CALIPER)


def _put_numbers(file: Pages, gluing: Gluing, top: float, larger: float) -> float:
    """The numbers side by side, well apart, with a line below. Returns the height below which the page is free (mm)."""
    canvas, found = file.canvas, [(in_font(caption), in_font(told)) for caption, told in _numbers(gluing)]
    sizes = CAPTION_SIZE * larger, NUMBER_SIZE * larger
    wide = [max(width_of(caption, sizes[0]), width_of(told, sizes[1], bold=True)) / mm for caption, told in found]
    room, gaps = file.width - 2 * EDGE, max(len(found) - 1, 1)
    shrunk = min(1.0, (room - LEAST_APART * gaps) / sum(wide))
    apart = min(MOST_APART, (room - shrunk * sum(wide)) / gaps)
    left = EDGE
    for (caption, told), width in zip(found, wide, strict=True):
        for text, font, size, ink, drop in ((caption, PLAIN, sizes[0], PALE, 3.0), (told, BOLD, sizes[1], INK, 9.5)):
            canvas.setFont(font, size * shrunk)
            canvas.setFillColor(ink)
            canvas.drawString(left * mm, (top - drop * larger) * mm, text)
        left += shrunk * width + apart
    below = top - 12.0 * larger
    canvas.setFillColor(INK)
    canvas.setLineWidth(0.25 * mm)
    canvas.line(EDGE * mm, below * mm, (file.width - EDGE) * mm, below * mm)
    return below - 1.0


def _put_drawings(file: Pages, proof: Verdict, gluing: Gluing, top: float, larger: float) -> float:
    """The piece with its clamps, and one end with its caul. Returns the height below which the page is free (mm)."""
    plan, middle, foot = proof.assembly.plan, EDGE + 0.58 * (file.width - 2 * EDGE), top - DRAWN * larger
    file.draw(from_above(plan, gluing.clamping, (EDGE, foot), (middle, top)))
    file.draw(from_outside(plan, gluing.clamping, (middle, foot), (file.width - EDGE, top)))
    return foot - 3.0


# --- the text ------------------------------------------------------------------------------------


def _text(proof: Verdict, gluing: Gluing, width: float, size: float) -> list[Flowable]:
    body, gap = style(size, after=size * 0.25), Spacer(1, size * 0.5)

    def part(title: str, words: Sequence[str]) -> list[Flowable]:
        told = [Paragraph(safe(each), body) for each in words if each]
        return [gap, head(title, size), *told] if told else []

    return [
        head("Order", size),
        *_order(proof, gluing, size),
        *part("Clamps and cauls", _clamps(proof, gluing)),
        gap,
        head("Glue", size),
        _table(gluing, size, width),
        Paragraph(safe(SURFACES + MITRED * _is_mitred(proof)), body),
        *part("The glue's own times", [glue_line(gluing), reach_words(gluing), PACE]),
        *part("The bottom", _bottom(proof)),
        *part("The top", _top(proof)),
        *part("After the last clamp", _after(gluing)),
        gap,
    ]


SURFACES = (
    "Brush both faces where long grain meets long grain: that is what holds. Leave end grain dry: it drinks glue and "
    "holds little."
)

MITRED = " A mitred shoulder is brushed all the same, as its line would open."

PACE = (
    "Seconds are those of one person at an even pace (common practice): two to reach a face with a loaded brush, then "
    "20 mm a second. Where your dry run takes longer, go by that."
)


def _is_mitred(proof: Verdict) -> bool:
    return any(any(joint.layout.mitred) for joint in proof.joints)


def _order(proof: Verdict, gluing: Gluing, size: float) -> Iterator[Flowable]:
    """Every step with a box to tick: dry first, then go by go."""

    def step(what: str, how: str) -> Flowable:
        return to_tick(Paragraph(f"<b>{safe(what)}.</b> {safe(how)}" if what else safe(how), style(size)), size)

    yield step("Dry run", DRY_RUN)
    for words in (goes_words(gluing), *trouble_words(gluing)):
        if words:
            yield Paragraph(safe(words), style(size, after=size * 0.3))
    steps = proof.steps if proof.assembly.box else CORNER_STEPS
    if gluing.first:
        yield step("", steps[0])
    done = 1
    for number, go in enumerate(gluing.goes):
        if len(gluing.goes) > 1:
            yield Paragraph(f"<b>{safe(go_title(number))}</b>", style(size, after=size * 0.2))
        for seat, words in zip(go.seats, steps[done:], strict=False):
            yield step("", f"{_brushed(seat)} {words}".strip())
        done += len(go.seats)
        last = number == len(gluing.goes) - 1
        yield step("Clamp and check" if last else "Clamp, and wait", _clamped(gluing, number))
    for seat, words in zip(gluing.after, steps[done:], strict=False):
        yield step("", " ".join(filter(None, (_brushed(seat), words, pressed_words(seat, gluing.clamping)))))


def _brushed(seat: Seat) -> str:
    """What takes glue before a part goes in, and for how long; empty where nothing does."""
    if not seat.brushing:
        return ""
    seconds = told_seconds(seat.brushing)
    if not seat.corners:
        return f"Glue for the {seat.part}: {seconds}."
    return f"Brush the {kind_title(seat.corners) if any(seat.corners) else 'flanks'}: {seconds}."


DRY_RUN = (
    "All of it in the order below, with clamps and cauls, and a watch: no joint is eased once glue is on it. Mark each "
    "joint, set the clamps' length, and take it apart the same way back."
)

CORNER_STEPS = ["Stand the pin board in the vice, pins up.", "Drive the tail board down, a block under the mallet."]


def _clamped(gluing: Gluing, number: int) -> str:
    by = f"By {told_seconds(gluing.goes[number].seconds)} after the first brush."
    if number < len(gluing.goes) - 1:
        return f"{by} {pause_words(gluing, number)}"
    return f"{by} {diagonal_words(gluing.clamping, gluing.units)}"


def _clamps(proof: Verdict, gluing: Gluing) -> list[str]:
    clamps, units = gluing.clamping, gluing.units
    found = [f"{count_words(clamps, units)}.", where_words(clamps, units), caul_words(clamps, units)]
    found += pinch_words(clamps, units)
    return [*found, WAXED, *_printed(proof)]


def _printed(proof: Verdict) -> Iterator[str]:
    """The cauls that may be printed instead, by the kinds of corner that they are for."""
    pads: dict[int, list[str]] = {}
    for joint in proof.joints:
        printing = joint.layout.recipe.printing
        made = plan_for_tails(joint.layout, printing, key_for(printing))
        if isinstance(made, Press):
            pads.setdefault(len(made.pads), []).extend(joint.kind.names)
    for count, names in pads.items():
        at = f", {kind_title(names)}" if names else ""
        yield f"To print instead{at}: caul-tails, which halfpin aids makes, with {counted(count, 'pad')}."


def _bottom(proof: Verdict) -> list[str]:
    box = proof.assembly.box
    if box is None or box.panel is None:
        return []
    return [fastening_words(box) or BOTTOM_GLUED[box.recipe.panel.glued]]


def _top(proof: Verdict) -> list[str]:
    """What is glued of the top of a lid, which goes into its groove as a bottom does."""
    box = proof.assembly.box
    return [BOTTOM_GLUED[with_top(box).recipe.panel.glued]] if box and box.recipe.top_groove.width else []


def _after(gluing: Gluing) -> list[str]:
    wait = told_minutes(gluing.glue.clamp_min)
    return [WIPED, f"Leave it in the clamps for {wait}, out of the cold, and do not strain a joint for a day."]


def _table(gluing: Gluing, size: float, width: float) -> Flowable:
    """Each kind of corner, and all of them: what holds, what hardly does, faces, glue and time."""
    units = gluing.units
    alike: dict[tuple[object, ...], list[GluedCorner]] = {}
    for corner in gluing.corners:
        key = corner.faces, *map(as_compared, (corner.long_grain, corner.end_grain, corner.grams))
        alike.setdefault(key, []).append(corner)
    rows = [["each corner" if gluing.corners[0].name else "", "long grain", "end grain", "faces", "glue", "brushing"]]
    for same in alike.values():
        one = same[0]
        name = kind_title([corner.name for corner in same]) if one.name else "the corner"
        rows.append([capital(name), *_cells(one, units)])
    for part in gluing.parts:
        area, faces = (own_area(part.long_grain, units), str(part.faces)) if part.faces else ("", "")
        rows.append([capital(part.name), area, "", faces, told_grams(part.grams, units), told_seconds(part.seconds)])
    if len(gluing.corners) > 1:
        grams, seconds = told_grams(gluing.grams, units), told_seconds(gluing.brushing)
        long_grain, end_grain = (
            sum(each.long_grain for each in gluing.glued),
            sum(each.end_grain for each in gluing.corners),
        )
        areas = [own_area(mm2, units) for mm2 in (long_grain, end_grain)]
        rows.append(["All", *areas, str(sum(each.faces for each in gluing.glued)), grams, seconds])
    return told_table(rows, SHARES, size * 0.84, width)


SHARES = (0.21, 0.18, 0.18, 0.1, 0.15, 0.18)
"""How the columns share the width of the table where that is wide enough for what they hold."""


def _cells(corner: GluedCorner, units: Units) -> list[str]:
    areas = [own_area(mm2, units) for mm2 in (corner.long_grain, corner.end_grain)]
    return [*areas, str(corner.faces), told_grams(corner.grams, units), told_seconds(corner.seconds)]
