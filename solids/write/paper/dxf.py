"""DXF with ezdxf, of the release and in the units that the maker asks for: a shop drawing at the size of the work, with
real dimension entities, and what a machine takes of a board.

Everything on paper is divided by the scale, so that a dimension measures the work itself. `$INSUNITS` tells the unit;
R12 has no such setting. A dimension shows what the reading program measures; we write its number ourselves only where
it is in inches, as a fraction.
"""

from __future__ import annotations

import io
import math
from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from solids.base.errors import ReadBackError
from solids.base.geometry import PlanePoint
from solids.base.lengths import bare_mm
from solids.base.messages import Units
from solids.recipe.tables.resolved import DxfVersion
from solids.write.drafting.dimensions import ABOVE, BEYOND, GAP, LETTERS, TICK, angle_words_at, dimension_line, words_at
from solids.write.drafting.layers import LAYERS, MM_IN, Layer, layer_name, layer_of
from solids.write.drafting.sheet import Angle, Distance, Item, Label, Sheet, Stroke, bounds, placed
from solids.write.paper.ezdxf_alone import Drawing, Modelspace, TextEntityAlignment, ezdxf, options
from solids.write.paper.ezdxf_alone import units as units_of_dxf
from solids.write.paper.typesetting.letters import in_font

UNITS: dict[Units, int] = {"mm": units_of_dxf.MM, "in": units_of_dxf.IN}
ALIGN = {
    "left": TextEntityAlignment.LEFT,
    "middle": TextEntityAlignment.CENTER,
    "right": TextEntityAlignment.RIGHT,
}
UNIT_WORDS: dict[Units, str] = {"mm": "millimetres", "in": "inches"}
R12 = "AC1009"
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


def dxf_bytes(sheet: Sheet, units: Units = "mm", version: DxfVersion = "R2010") -> bytes:
    """The DXF file of a drawing at the size of the work."""
    grow = 1.0 / (sheet.scale * MM_IN[units])
    return _reproducible(lambda: _written(placed(sheet.items, grow, (0.0, 0.0)), LAYERS, grow, units, version))


def machine_dxf_bytes(items: Sequence[Item], units: Units = "mm", version: DxfVersion = "R2010") -> bytes:
    """The DXF file of what a machine takes, at the size of the work; `items` are in mm."""
    layers = [layer_of(name) for name in dict.fromkeys(item.layer for item in items)]
    grow = 1.0 / MM_IN[units]
    return _reproducible(lambda: _written(placed(items, grow, (0.0, 0.0)), layers, grow, units, version))


def _reproducible(write: Callable[[], bytes]) -> bytes:
    """No clock and no random identifiers: the same drawing gives the same bytes."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        return write()
    finally:
        options.write_fixed_meta_data_for_testing = before


def _written(items: Sequence[Item], layers: Sequence[Layer], grow: float, units: Units, version: DxfVersion) -> bytes:
    """Items at the size of the work; letters and lines on paper `grow` with it."""
    doc = _document(layers, grow, units, version)
    space = doc.modelspace()
    for item in items:
        _add(space, replace(item, layer=layer_name(item.layer, version)), grow, MM_IN[units])
    low, high = bounds(items)
    space.reset_extents((*low, 0.0), (*high, 0.0))
    if version != "R12":
        # These come from sets, in an order that changes from run to run.
        doc.classes.add_required_classes(doc.dxfversion)
        doc.classes.classes = OrderedDict(sorted(doc.classes.classes.items()))
    text = io.StringIO()
    doc.write(text)
    return text.getvalue().encode("utf-8")


def _document(layers: Sequence[Layer], grow: float, units: Units, version: DxfVersion) -> Drawing:
    doc = ezdxf.new(version)
    if version != "R12":
        doc.units = UNITS[units]
    doc.header["$MEASUREMENT"] = int(units == "mm")
    for layer in layers:
        name, kind = layer_name(layer.name, version), "CONTINUOUS"
        if layer.dashes:
            kind = name
            signed = [length * (-1) ** number for number, length in enumerate(layer.dashes)]
            doc.linetypes.add(kind, pattern=[sum(layer.dashes), *signed], description=layer.name)
        doc.layers.add(name, color=layer.colour, linetype=kind, lineweight=round(layer.width * 100))
    doc.header["$LTSCALE"] = grow
    doc.styles.add(STYLE, font="Roboto-Regular.ttf")
    style = doc.dimstyles.new(STYLE)
    style.dxf.dimtxsty = STYLE
    for name, value in DIMENSIONS.items():
        style.set_dxf_attrib(name, value)
        # Some programs draw dimensions anew, with the settings of the header.
        doc.header[f"${name.upper()}"] = value
    style.dxf.dimscale = doc.header["$DIMSCALE"] = grow
    # A dimension shows millimetres, as the sheet does, whatever the file is in.
    style.dxf.dimlfac = doc.header["$DIMLFAC"] = MM_IN[units]
    return doc


def _add(space: Modelspace, item: Item, grow: float, mm: float) -> None:
    """Adds an item that is in units of so many `mm`."""
    if isinstance(item, Stroke):
        _add_stroke(space, item)
    elif isinstance(item, Label):
        _add_label(space, item, grow)
    elif isinstance(item, Distance):
        _add_distance(space, item, grow, mm)
    else:
        _add_angle(space, item, grow)


def _add_stroke(space: Modelspace, stroke: Stroke) -> None:
    attributes = {"layer": stroke.layer}
    if len(stroke.points) == 2 and not stroke.closed:
        space.add_line(*stroke.points, dxfattribs=attributes)
    elif space.dxfversion == R12:
        space.add_polyline2d(stroke.points, close=stroke.closed, dxfattribs=attributes)
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


def _add_distance(space: Modelspace, dim: Distance, grow: float, mm: float) -> None:
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
        text=_shown(dim, bare_mm(_span(dim) * mm, dim.reading)),
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


def reread(path: Path, sheet: Sheet, units: Units = "mm", version: DxfVersion = "R2010") -> None:
    """Reads the file of a drawing back. ReadBackError unless it passes its audit, and has its unit, every layer and
    every dimension."""
    doc = _read(path, sheet.items, units, version)
    meant = sum(isinstance(item, Distance | Angle) for item in sheet.items)
    if len(doc.modelspace().query("DIMENSION")) != meant:
        raise ReadBackError(f"{path.name} does not hold its {meant} dimensions")


def reread_machine(path: Path, items: Sequence[Item], units: Units = "mm", version: DxfVersion = "R2010") -> None:
    """Reads the file of what a machine takes back. ReadBackError as `reread`, and unless it holds every line."""
    doc = _read(path, items, units, version)
    if len(doc.modelspace()) != len(items):
        raise ReadBackError(f"{path.name} does not hold its {len(items)} lines and words")


def _read(path: Path, items: Sequence[Item], units: Units, version: DxfVersion) -> Drawing:
    try:
        doc = ezdxf.readfile(path)
    except (ezdxf.DXFError, OSError) as err:
        raise ReadBackError(f"{path.name} is not a whole DXF file: {err}") from err
    auditor = doc.audit()
    if auditor.errors or auditor.fixes:
        first = (*auditor.errors, *auditor.fixes)[0]
        raise ReadBackError(f"{path.name} does not pass its audit: {first.message}")
    if version != "R12" and doc.header.get("$INSUNITS") != UNITS[units]:
        raise ReadBackError(f"{path.name} is not in {UNIT_WORDS[units]}")
    missing = {layer_name(item.layer, version) for item in items} - {layer.dxf.name for layer in doc.layers}
    if missing:
        raise ReadBackError(f"{path.name} lacks the layers {', '.join(sorted(missing))}")
    return doc
