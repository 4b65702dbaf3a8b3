"""Which cutter to use for which board, in words for the note and the setup sheet. `milling` does the choosing."""

from __future__ import annotations

from solids.base.lengths import CALIPER, format_both, format_length
from solids.base.messages import capital
from solids.bench.milling import ALLOWANCE, FLUTES, ROUGHING_LEAVES, SPINDLE_RPM, Cut, Run, cuts, why_none
from solids.layout import Layout
from solids.write.drafting.layers import Part, layer_name, machine_layer


def cutter_words(layout: Layout, cut: Cut) -> str:
    """The cutter or cutters for one board, and where their paths are drawn."""
    units, best = layout.recipe.units, cut.best
    if best is None:
        what, mend = why_none(cut, units)
        return f"{what}. {capital(mend)}."
    whose = "Of your cutters" if cut.own else "You name no cutters of your own. Of the usual sizes"
    words = f"{whose}, the thickest that passes with wood left on both lines is {best.size}."
    if cut.finish:
        along, chisel = (format_both(mm, units) for mm in (best.rest.along, cut.chisel))
        words += (
            f" It would leave {along} along both sides of each sharp corner. That is more than a {chisel} chisel is "
            f"wide. So rough out with the {best.size} cutter, and finish with the {cut.finish.size} cutter."
        )
    return f"{words} {_reach_words(cut)} {_path_words(layout, cut)}"


def _reach_words(cut: Cut) -> str:
    thinnest = cut.runs[-1].cutter
    words = f"The cut is {thinnest.ratio:.1f} times as deep as {'the thin' if cut.finish else 'this'} cutter is thick."
    if thinnest.is_easy:
        return f"{words} That is an easy reach."
    return f"{words} That is a long reach. Use a long cutter, light passes and a slow feed. Watch it for bending."


def _path_words(layout: Layout, cut: Cut) -> str:
    """Which layers of a board's drawing are for which cutter."""
    if not cut.own:
        return "No path is drawn for a cutter that you may not have. Name yours as `kit.cutters`, and each gets a path."
    layers = " and ".join(f"{_layers(layout, cut, run)} for the {run.cutter.size} cutter" for run in cut.runs)
    words = (
        f"In the DXF file the paths are on the layers that end in {layers}. A path is for its own cutter alone: a "
        "thicker one cuts into the lines, a thinner one stays off them."
    )
    if cut.acute_corners and cut.runs[-1].relief:
        relief = layer_end(layout, cut, cut.runs[-1], "relief")
        words += f" The lines on `{relief}` run into each sharp corner, so that a square one seats there. That shows."
    return words


def _layers(layout: Layout, cut: Cut, run: Run) -> str:
    """The layers of one run: to clear, to go round last, or both."""
    parts: list[Part] = []
    if run == cut.runs[0] or cut.further_rounds:
        parts.append("clear")
    if run.is_last:
        parts.append("last")
    return " and ".join(f"`{layer_end(layout, cut, run, part)}`" for part in parts)


def layer_end(layout: Layout, cut: Cut, run: Run, part: Part) -> str:
    """How the name of the layer of one run ends, behind that of its setup."""
    paper = layout.recipe.paper
    name = machine_layer("", part, cut.depth, paper.dxf_units, run.cutter.diameter)
    return layer_name(name.strip(), paper.dxf_version)


def round_words(layout: Layout, cut: Cut) -> str:
    """How the walls are cut to the line: what is left at first, and the last round."""
    units = layout.recipe.units
    if cut.finish and cut.best:
        return (
            f"Rough out with the {cut.best.size} cutter, and leave {format_both(ROUGHING_LEAVES, units, CALIPER)} on "
            f"all lines. Then change to the {cut.finish.size} cutter and set zero in Z again. Go round with it, right "
            f"to the line. In the corners it meets solid wood. So take {cut.finish.passes} passes."
        )
    return (
        f"Leave {format_both(ALLOWANCE, units, CALIPER)} of wood on all lines. Then go round once more, right to the "
        "line. This last round takes so little wood that it may go at full depth."
    )


def feed_rows(layout: Layout) -> list[list[str]]:
    """The table of feeds: a row for each cutter of each board, from slow to usual."""
    return [row for cut in cuts(layout) for row in _feed_rows(layout, cut)]


def _feed_rows(layout: Layout, cut: Cut) -> list[list[str]]:
    if not cut.runs:
        return [[cut.board, "none reaches", "-", "-", "-", "-", "-"]]
    rows = []
    for run in cut.runs:
        reach = run.cutter
        (slow, usual), (slow_feed, usual_feed) = reach.chip_loads, reach.feeds_mm_min
        part = "" if len(cut.runs) == 1 else ", last round" if run.is_last else ", roughing"
        rows.append(
            [
                f"{cut.board}{part}",
                reach.size,
                str(SPINDLE_RPM),
                str(FLUTES),
                f"{slow:.4f} to {usual:.4f} mm ({slow / 25.4:.5f} to {usual / 25.4:.5f} in)",
                f"{slow_feed:.0f} to {usual_feed:.0f} mm/min "
                f"({slow_feed / 25.4:.0f} to {usual_feed / 25.4:.0f} in/min)",
                f"{reach.passes} of {format_both(cut.depth / reach.passes, layout.recipe.units, CALIPER)}",
            ]
        )
    return rows


def cutter_lines(layout: Layout) -> list[str]:
    """For the setup sheet: a line for each board; none where the recipe names no cutters."""
    lines = []
    for cut in cuts(layout):
        if cut.own:
            parts = [f"{run.cutter.size}{'' if run.is_last else ' to rough out'}" for run in cut.runs]
            deep = f", {format_length(cut.depth, layout.recipe.units, CALIPER)} deep" if parts else ""
            lines.append(f"{cut.board}: {', then '.join(parts) or 'none of yours reaches; saw it by hand'}{deep}.")
    return lines
