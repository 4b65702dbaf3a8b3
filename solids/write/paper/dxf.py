"""DXF (R2010) with ezdxf: the drawing at 1:1 in mm of the work, with real dimension entities and outlines for CAM.

Everything on paper is divided by the scale, so that a dimension measures the work itself. `$INSUNITS` is 4, millimetre.
A dimension shows what the reading program measures; we write its number ourselves only where it is in inches, as a
fraction.
"""

from __future__ import annotations

import io
import math
from collections import OrderedDict
from pathlib import Path

from solids.base.errors import ReadBackError
from solids.base.geometry import PlanePoint
from solids.base.lengths import bare_mm
from solids.write.drafting.dimensions import ABOVE, BEYOND, GAP, LETTERS, TICK, angle_words_at, dimension_line, words_at
from solids.write.drafting.layers import LAYERS, layer_of
from solids.write.drafting.sheet import Angle, Distance, Item, Label, Sheet, Stroke, bounds, placed
from solids.write.paper.ezdxf_alone import Drawing, Modelspace, TextEntityAlignment, ezdxf, options, units
from solids.write.paper.typesetting.letters import in_font

VERSION = "R2010"
MILLIMETRE = 4
ALIGN = {
    "left": TextEntityAlignment.LEFT,
    "middle": TextEntityAlignment.CENTER,
    "right": TextEntityAlignment.RIGHT,
}
STYLE = "halfpin"
DIMENSIONS = {
    "dimtxt": LETTERS,
    "dimtsz": TICK,
    "dimexo": GAP,
    "dimexe": BEYOND,
    "dimdle": BEYOND,
    "dimgap": ABOVE,
    "dimtad": 1,
    "dimdec": 2,
    "dimzin": 8,
    "dimdsep": ord("."),
    "dimaunit": 0,
    "dimadec": 1,
    "dimazin": 0,
}
"""How dimensions look, by the format's own names for their settings. Sizes are those on paper."""

LEG = 0.1
"""How far along the legs of an angle, on paper, the points lie that give their directions. The lines begin there."""

ROOM = 30.0
"""Room between the sheet and the outlines for machines, on paper."""


def dxf_bytes(sheet: Sheet) -> bytes:
    """The DXF file of a drawing; the outlines for machines stand to the right of the sheet."""
    # No clock and no random identifiers: the same drawing gives the same bytes.
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        return _written(sheet)
    finally:
        options.write_fixed_meta_data_for_testing = before


def _written(sheet: Sheet) -> bytes:
    doc = _document(sheet)
    space = doc.modelspace()
    grow = 1.0 / sheet.scale
    for item in placed(sheet.items, grow, (0.0, 0.0)):
        _add(space, item, grow)
    machine: list[Item] = []
    if sheet.machine:
        (left, foot), _ = bounds(sheet.machine)
        machine = placed(sheet.machine, 1.0, ((sheet.width + ROOM) * grow - left, -foot))
        for item in machine:
            _add(space, item, 1.0)
    low, high = bounds((*placed(sheet.items, grow, (0.0, 0.0)), *machine))
    space.reset_extents((*low, 0.0), (*high, 0.0))
    # These come from sets, in an order that changes from run to run.
    doc.classes.add_required_classes(doc.dxfversion)
    doc.classes.classes = OrderedDict(sorted(doc.classes.classes.items()))
    text = io.StringIO()
    doc.write(text)
    return text.getvalue().encode("utf-8")


def _document(sheet: Sheet) -> Drawing:
    doc = ezdxf.new(VERSION, units=units.MM)
    doc.header["$MEASUREMENT"] = 1
    paths = {item.layer for item in sheet.machine} - {layer.name for layer in LAYERS}
    for layer in (*LAYERS, *map(layer_of, sorted(paths))):
        kind = "CONTINUOUS"
        if layer.dashes:
            kind = layer.name
            signed = [length * (-1) ** number for number, length in enumerate(layer.dashes)]
            doc.linetypes.add(kind, pattern=[sum(layer.dashes), *signed], description=layer.name)
        added = doc.layers.add(layer.name, color=layer.colour, linetype=kind, lineweight=round(layer.width * 100))
        added.dxf.plot = int(layer.printed)
    doc.header["$LTSCALE"] = 1.0 / sheet.scale
    doc.styles.add(STYLE, font="Roboto-Regular.ttf")
    style = doc.dimstyles.new(STYLE)
    style.dxf.dimtxsty = STYLE
    for name, value in DIMENSIONS.items():
        style.set_dxf_attrib(name, value)
        # Some programs draw dimensions anew, with the settings of the header.
        doc.header[f"${name.upper()}"] = value
    style.dxf.dimscale = doc.header["$DIMSCALE"] = 1.0 / sheet.scale
    return doc


def _add(space: Modelspace, item: Item, grow: float) -> None:
    if isinstance(item, Stroke):
        _add_stroke(space, item)
    elif isinstance(item, Label):
        _add_label(space, item, grow)
    elif isinstance(item, Distance):
        _add_distance(space, item, grow)
    else:
        _add_angle(space, item, grow)


def _add_stroke(space: Modelspace, stroke: Stroke) -> None:
    attributes = {"layer": stroke.layer}
    if len(stroke.points) == 2 and not stroke.closed:
        space.add_line(*stroke.points, dxfattribs=attributes)
    else:
        space.add_lwpolyline(stroke.points, close=stroke.closed, dxfattribs=attributes)


def _add_label(space: Modelspace, label: Label, grow: float) -> None:
    text = space.add_text(
        _plain(label.text),
        height=label.height * grow,
        rotation=label.turn_deg,
        dxfattribs={"layer": label.layer, "style": STYLE},
    )
    text.set_placement(label.at, align=ALIGN[label.align])


def _plain(text: str) -> str:
    """A text in letters of the font. A space goes between two percent signs, which would begin a code of the format."""
    known = in_font(text)
    while "%%" in known:
        known = known.replace("%%", "% %")
    return known


def _add_distance(space: Modelspace, dim: Distance, grow: float) -> None:
    (on_paper,) = placed([dim], 1.0 / grow, (0.0, 0.0))
    assert isinstance(on_paper, Distance)
    base, _ = dimension_line(on_paper)
    at = words_at(on_paper)
    rise = LETTERS / 2
    middle = (at[0], at[1] + rise) if dim.axis == "across" else (at[0] - rise, at[1])
    made = space.add_linear_dim(
        base=(base[0] * grow, base[1] * grow),
        p1=dim.start,
        p2=dim.end,
        angle=0 if dim.axis == "across" else 90,
        text=_shown(dim, bare_mm(_span(dim), dim.reading)),
        override={"dimrnd": float(dim.reading.step)},
        dimstyle=STYLE,
        location=(middle[0] * grow, middle[1] * grow),
        dxfattribs={"layer": dim.layer},
    )
    made.render()


def _span(dim: Distance) -> float:
    along = 0 if dim.axis == "across" else 1
    return abs(dim.end[along] - dim.start[along])


def _shown(dim: Distance | Angle, measured: str) -> str:
    """The words of a dimension, with `<>` for the number where the reading program measures the same."""
    return f"<>{dim.more}" if dim.number == measured else dim.words


def _add_angle(space: Modelspace, dim: Angle, grow: float) -> None:
    """By its centre and a point on each leg, so that the arc runs counter-clockwise from the first to the second. From
    two lines, the format would draw it round one of the three other angles."""
    (on_paper,) = placed([dim], 1.0 / grow, (0.0, 0.0))
    assert isinstance(on_paper, Angle)
    x, y = angle_words_at(on_paper)
    first, second = (_on_ray(dim, turn, LEG * grow) for turn in (dim.start_deg, dim.end_deg))
    made = space.add_angular_dim_3p(
        base=_on_ray(dim, (dim.start_deg + dim.end_deg) / 2, dim.radius * grow),
        center=dim.centre,
        p1=first,
        p2=second,
        text=_shown(dim, f"{dim.end_deg - dim.start_deg:.1f}°"),
        dimstyle=STYLE,
        location=(x * grow, (y + LETTERS / 2) * grow),
        text_rotation=0.0,
        # Words that stand aside leave the arc in place; by default the format moves it out to them.
        override={"dimtmove": 2},
        dxfattribs={"layer": dim.layer},
    )
    made.render()


def _on_ray(dim: Angle, turn_deg: float, reach: float) -> PlanePoint:
    turn = math.radians(turn_deg)
    return dim.centre[0] + reach * math.cos(turn), dim.centre[1] + reach * math.sin(turn)


def reread(path: Path, sheet: Sheet) -> None:
    """Reads a DXF file back. ReadBackError unless it passes its audit, is in millimetres, and has every layer and
    dimension."""
    try:
        doc = ezdxf.readfile(path)
    except (ezdxf.DXFError, OSError) as err:
        raise ReadBackError(f"{path.name} is not a whole DXF file: {err}") from err
    auditor = doc.audit()
    if auditor.errors or auditor.fixes:
        first = (*auditor.errors, *auditor.fixes)[0]
        raise ReadBackError(f"{path.name} does not pass its audit: {first.message}")
    if doc.header.get("$INSUNITS") != MILLIMETRE:
        raise ReadBackError(f"{path.name} is not in millimetres")
    missing = {layer_of(item.layer).name for item in (*sheet.items, *sheet.machine)} - {
        layer.dxf.name for layer in doc.layers
    }
    if missing:
        raise ReadBackError(f"{path.name} lacks the layers {', '.join(sorted(missing))}")
    meant = sum(isinstance(item, Distance | Angle) for item in sheet.items)
    if len(doc.modelspace().query("DIMENSION")) != meant:
        raise ReadBackError(f"{path.name} does not hold its {meant} dimensions")
