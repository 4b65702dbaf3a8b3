"""Words cut into an aid: as deep and as large as they say, read the right way round, and nothing else changed."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
import shapely
from fontTools.pens.basePen import BasePen
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Polygon

from solids.aids.making.engraving import DEPTH, engraved, letter_height, words_outlines
from solids.aids.making.modelling import block
from solids.base.errors import FaultError
from solids.base.fonts import BOLD_FILE, font
from solids.model import manifold
from solids.model.kernel import Face, Solid, faces_of, is_valid, mesh, topology, volume_of
from solids.model.kernel.shaping import cut

SIZE = (60.0, 20.0)
TOP = 4.0
MIDDLE = (30.0, 10.0)
WORDS = ("1:7", "4 x 1:7", "pins, baseline 12.5", "0.30", "X0 Y0", "8", "square")
ISLANDS = {"8": 2, "0": 1, "1": 0, "b": 1, "B8": 4, "L": 0}


def plate() -> Solid:
    return block((0.0, 0.0, 0.0), (*SIZE, TOP))


class EndPoints(BasePen):  # type: ignore[misc]
    """Sums the area under a glyph as a polygon on the points where its strokes end, by the trapezium rule."""

    def __init__(self, glyphs: object) -> None:
        super().__init__(glyphs)
        self.area = 0.0
        self.points: list[tuple[float, float]] = []

    def _moveTo(self, point: tuple[float, float]) -> None:
        self.start = self.at = point
        self.points.append(point)

    def _lineTo(self, point: tuple[float, float]) -> None:
        self.area += (self.at[0] - point[0]) * (self.at[1] + point[1]) / 2
        self.at = point
        self.points.append(point)

    def _qCurveToOne(self, _: tuple[float, float], point: tuple[float, float]) -> None:
        self._lineTo(point)

    def _closePath(self) -> None:
        self._lineTo(self.start)


def area_and_width(text: str) -> tuple[float, float]:
    """Of a text whose capitals are 1 mm high: the area of its glyphs (mm2) and its width, from the font's tables."""
    face = font(BOLD_FILE)
    glyphs, names, capital = face.getGlyphSet(), face.getBestCmap(), face["OS/2"].sCapHeight
    area = width = 0.0
    for ch in text:
        pen = EndPoints(glyphs)
        glyphs[names[ord(ch)]].draw(pen)
        area += abs(pen.area) / capital**2
        width += face["hmtx"][names[ord(ch)]][0] / capital
    return area, width


def floors(solid: Solid, top: float = TOP) -> list[Polygon]:
    """The floors of the pockets, seen from above, from left to right."""
    found = [face for face in faces_of(solid) if all(abs(p[2] - top + DEPTH) < 1e-9 for loop in face for p in loop)]
    return sorted((flat(face) for face in found), key=lambda shape: shape.centroid.x)


def flat(face: Face) -> Polygon:
    outer, *holes = [[(x, y) for x, y, _ in loop] for loop in face]
    return Polygon(outer, holes)


def band(shape: Polygon, low: float, high: float) -> Polygon:
    """The part of a shape between two shares of its height."""
    x1, y1, x2, y2 = shape.bounds
    return shape & shapely.box(x1, y1 + low * (y2 - y1), x2, y1 + high * (y2 - y1))


@pytest.mark.parametrize("room", [(56.0, 16.0), (56.0, 6.0), (15.0, 16.0)], ids=["wide", "low", "narrow"])
@pytest.mark.parametrize("text", WORDS)
def test_the_volume_taken_is_the_area_of_the_letters_times_their_depth(text: str, room: tuple[float, float]) -> None:
    """Exactly that of the floors, and nearly that of the glyphs in the font, which have more corners."""
    area, width = area_and_width(text)
    solid = engraved(plate(), text, MIDDLE, TOP, room)
    taken = (volume_of(plate()) - volume_of(solid)) / DEPTH
    assert taken == pytest.approx(sum(shape.area for shape in floors(solid)), rel=1e-9)
    height = letter_height(text, room)
    assert taken == pytest.approx(area * height**2, rel=0.08)
    assert height <= min(6.0, 0.8 * room[1], 0.9 * room[0] / width) + 1e-9


@pytest.mark.parametrize("ch", "0123456789:./abcdefghijklmnopqrstuvwxyzXY")
def test_a_letter_of_few_corners_keeps_to_the_letter_of_the_font(ch: str) -> None:
    """Its corners are the font's, and what is left out lies near its outline."""
    pen = EndPoints(font(BOLD_FILE).getGlyphSet())
    font(BOLD_FILE).getGlyphSet()[font(BOLD_FILE).getBestCmap()[ord(ch)]].draw(pen)
    capital = font(BOLD_FILE)["OS/2"].sCapHeight
    drawn = [(x / capital, y / capital) for x, y in pen.points]
    loops = [loop for outer, holes in words_outlines(ch, 1.0)[0] for loop in (outer, *holes)]
    known = {(round(x, 9), round(y, 9)) for x, y in drawn}
    assert {(round(x, 9), round(y, 9)) for loop in loops for x, y in loop} <= known
    outline = shapely.union_all([shapely.LinearRing(loop) for loop in loops])
    assert max(outline.distance(shapely.Point(point)) for point in drawn) < 0.08
    assert all(Polygon(outer, holes).is_valid for outer, holes in words_outlines(ch, 1.0)[0])


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("text", WORDS)
def test_an_engraved_body_is_one_closed_valid_solid(text: str, turned: bool) -> None:
    solid = engraved(plate(), text, MIDDLE, TOP, (16.0, 16.0), turned=turned)
    counts = topology(solid)
    assert is_valid(solid)
    assert counts.closed
    assert counts.solids == counts.shells == 1
    surface = mesh(solid)
    second = manifold.examine(surface.points, surface.triangles)
    assert (second.closed, second.bodies) == (True, 1)
    assert second.volume == pytest.approx(volume_of(solid), rel=1e-9)


def test_pockets_are_half_a_millimetre_deep_with_upright_walls() -> None:
    solid = engraved(plate(), "1:7", MIDDLE, TOP, (50.0, 16.0))
    levels = {point[2] for face in faces_of(solid) for loop in face for point in loop}
    assert levels == {0.0, TOP - 0.5, TOP}
    corners = sum(len(loop) for outer, holes in words_outlines("1:7", 1.0)[0] for loop in (outer, *holes))
    assert topology(solid).faces == 6 + corners + 4, "a wall for every line, four floors: a one, two dots and a seven"


@pytest.mark.parametrize("turned", [False, True])
def test_a_seven_has_its_bar_on_top_and_its_foot_to_the_left(turned: bool) -> None:
    (seven,) = floors(engraved(plate(), "7", MIDDLE, TOP, (16.0, 16.0), turned=turned))
    if turned:
        seven = affinity.rotate(seven, -90, origin=MIDDLE)
    bar, foot = band(seven, 0.9, 1.0), band(seven, 0.0, 0.1)
    width = seven.bounds[2] - seven.bounds[0]
    assert bar.bounds[2] - bar.bounds[0] > 0.95 * width
    assert foot.bounds[2] < seven.bounds[0] + 0.55 * width, "in a mirror the foot would stand to the right"


@pytest.mark.parametrize("turned", [False, True])
def test_an_l_stands_at_the_left_on_its_foot(turned: bool) -> None:
    (shape,) = floors(engraved(plate(), "L", MIDDLE, TOP, (16.0, 16.0), turned=turned))
    if turned:
        shape = affinity.rotate(shape, -90, origin=MIDDLE)
    x1, _, x2, _ = shape.bounds
    stem, foot = band(shape, 0.5, 1.0), band(shape, 0.0, 0.1)
    assert stem.bounds[0] == pytest.approx(x1)
    assert stem.bounds[2] < (x1 + x2) / 2
    assert foot.bounds[2] == pytest.approx(x2)


def test_letters_follow_each_other_from_left_to_right() -> None:
    first, second, third = floors(engraved(plate(), "LIT", MIDDLE, TOP, (50.0, 16.0)))
    assert [len(shape.exterior.coords) - 1 for shape in (first, second, third)] == [6, 4, 8]


def test_turned_words_are_the_same_words_by_a_quarter_counter_clockwise() -> None:
    room = (17.0, 14.0)
    plain = shapely.union_all(floors(engraved(plate(), "47L", MIDDLE, TOP, room)))
    turned = shapely.union_all(floors(engraved(plate(), "47L", MIDDLE, TOP, room[::-1], turned=True)))
    assert (affinity.rotate(plain, 90, origin=MIDDLE) ^ turned).area < 1e-6
    assert (plain ^ turned).area > 1.0


@settings(max_examples=60, deadline=None)
@given(
    st.text("0123456789:/xXYLEstan ", min_size=1, max_size=14).filter(str.strip),
    st.floats(3.0, 56.0),
    st.floats(2.0, 16.0),
    st.booleans(),
)
def test_words_of_figures_and_capitals_keep_to_their_room_in_its_middle_at_most_six_mm_high(
    text: str, along: float, across: float, turned: bool
) -> None:
    body = block((0.0, 0.0, 0.0), (60.0, 60.0, TOP))
    room = (across, along) if turned else (along, across)
    found = shapely.union_all(floors(engraved(body, text, (30.0, 30.0), TOP, room, turned=turned)))
    place = shapely.box(30 - room[0] / 2, 30 - room[1] / 2, 30 + room[0] / 2, 30 + room[1] / 2)
    assert place.contains(found)
    x1, y1, x2, y2 = found.bounds
    assert (x2 - x1 if turned else y2 - y1) < 6.0 * 1.15, "the slash is a tenth taller than a capital"


@pytest.mark.parametrize("text", ["pins", "square", "Q", "(1)"])
def test_letters_that_hang_below_the_line_keep_to_their_room_too(text: str) -> None:
    body = block((0.0, 0.0, 0.0), (60.0, 60.0, TOP))
    found = shapely.union_all(floors(engraved(body, text, (30.0, 30.0), TOP, (50.0, 5.0))))
    assert shapely.box(5.0, 27.5, 55.0, 32.5).contains(found)


def test_a_large_room_makes_capitals_of_six_mm() -> None:
    (shape,) = floors(engraved(block((0, 0, 0), (90, 90, TOP)), "E", (45.0, 45.0), TOP, (80.0, 80.0)))
    _, y1, _, y2 = shape.bounds
    assert y2 - y1 == pytest.approx(6.0)
    assert (y1 + y2) / 2 == pytest.approx(45.0)


@pytest.mark.parametrize("text", ["1\u65e57", "\u2603" + "17", "17\ufffe"])
def test_characters_that_the_font_lacks_are_left_out(text: str) -> None:
    plain, with_more = (engraved(plate(), words, MIDDLE, TOP, (40.0, 16.0)) for words in ("17", text))
    assert volume_of(with_more) == pytest.approx(volume_of(plain), rel=1e-12)
    assert words_outlines(text, 3.0) == words_outlines("17", 3.0)


@pytest.mark.parametrize("text", ["", "\u65e5\u672c"])
def test_words_of_which_nothing_is_left_leave_the_body_as_it_is(text: str) -> None:
    assert volume_of(engraved(plate(), text, MIDDLE, TOP, (40.0, 16.0))) == pytest.approx(volume_of(plate()))


@pytest.mark.parametrize(
    ("middle", "top"),
    [(MIDDLE, TOP + 0.01), (MIDDLE, 0.0), ((61.0, 10.0), TOP), ((30.0, -1.0), TOP)],
    ids=["above the face", "on the face that looks down", "beside it", "before it"],
)
def test_where_there_is_no_face_it_is_a_fault_of_ours(middle: tuple[float, float], top: float) -> None:
    with pytest.raises(FaultError, match="no level face"):
        engraved(plate(), "1:7", middle, top, (20.0, 10.0))


@pytest.mark.parametrize("text", ISLANDS)
def test_the_islands_of_a_letter_stay_standing(text: str) -> None:
    solid = engraved(plate(), text, MIDDLE, TOP, (50.0, 16.0))
    level = [face for face in faces_of(solid) if all(abs(p[2] - TOP) < 1e-9 for loop in face for p in loop)]
    assert len(level) == 1 + ISLANDS[text]
    top_area = sum(flat(face).area for face in level)
    assert top_area + sum(shape.area for shape in floors(solid)) == pytest.approx(SIZE[0] * SIZE[1], rel=1e-9)
    islands = sorted((flat(face) for face in level), key=lambda shape: shape.area)[:-1]
    assert all(any(Polygon(shape.exterior).contains(island) for shape in floors(solid)) for island in islands)


def volumes(*bodies: Solid) -> Sequence[float]:
    return [volume_of(body) for body in bodies]


def test_other_faces_at_the_same_height_and_holes_in_the_face_stay() -> None:
    grooved = cut(plate(), [block((39.0, -1.0, 2.0), (41.0, 21.0, 5.0)), block((2.0, 2.0, -1.0), (5.0, 5.0, 5.0))])
    once = engraved(grooved, "1:7", (22.0, 10.0), TOP, (20.0, 10.0))
    twice = engraved(once, "8", (50.0, 10.0), TOP, (10.0, 10.0))
    assert is_valid(twice)
    before, first, second = volumes(grooved, once, twice)
    assert before > first > second
    found = floors(twice)
    assert len(found) == 5
    assert all(shape.bounds[2] < 39.0 for shape in found[:4])
    assert found[4].bounds[0] > 41.0
