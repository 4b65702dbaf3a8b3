"""The text on a caul: beside its pads where there is room for letters that are easily read, else on a pad."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from solids.aids.cauls.keys import inner_span
from solids.aids.making.engraving import engraved, letter_height
from solids.base.geometry import PlanePoint, Polygon
from solids.model.kernel import Solid

LETTERS, LEAST_LETTERS = 2.5, 1.5
"""Height at which a text is easily read, and below which it is left out."""

ROOM_BETWEEN = 6.0
"""A text stands between two pads where there is so much room."""

ON_PAD = 0.6
"""The share of a pad's width across the line that letters may take, so that enough of the pad bears."""

AROUND = 1.0
"""What stays free round a text on a bar."""

MarkSpot = tuple[PlanePoint, float, PlanePoint, bool]
"""Where a text may stand: its middle, its height above the bed, the room, and whether that is on a pad."""


def spots_beside(pads: Sequence[Polygon], span: PlanePoint, depth: float, top: float) -> Iterator[MarkSpot]:
    """On the bar between pads, and between them and its ends. The pads come from the left."""
    low, high = span
    edges = [low, *(u for pad in pads for u in (min(u for u, _ in pad), max(u for u, _ in pad))), high]
    for near, far in zip(edges[::2], edges[1::2], strict=True):
        if far - near >= ROOM_BETWEEN:
            yield ((near + far) / 2, depth / 2), top, (far - near - 2 * AROUND, depth - 2 * AROUND), False


def spot_on(pad: Polygon, top: float, wall: float) -> MarkSpot:
    """On a pad, with walls left round the letters."""
    near, far = inner_span(pad)
    low, high = min(v for _, v in pad), max(v for _, v in pad)
    return ((near + far) / 2, (low + high) / 2), top, (far - near - 2 * wall, high - low - 2 * wall), True


def marked(body: Solid, texts: Sequence[str], spots: Sequence[MarkSpot]) -> tuple[Solid, str, bool]:
    """The body with the first text that is easily read somewhere, beside the pads rather than on them; with the
    largest that can be had where none is; without one where all would be too small. And whether it runs across."""
    choices = [
        (_letters(text, spot, turned=turned), text, spot, turned)
        for text in texts
        for spot in spots
        for turned in (False, True)
    ]
    choices.sort(key=lambda choice: (choice[0] < LETTERS, texts.index(choice[1]), choice[2][3], -choice[0], choice[3]))
    good = [choice for choice in choices if choice[0] >= LETTERS]
    best = good[0] if good else max(choices, key=lambda choice: choice[0], default=None)
    if best is None or best[0] < LEAST_LETTERS:
        return body, "", False
    _, text, (middle, top, room, on_pad), turned = best
    return engraved(body, text, middle, top, _kept(room, turned=turned, on_pad=on_pad), turned=turned), text, turned


def _kept(room: PlanePoint, *, turned: bool, on_pad: bool) -> PlanePoint:
    """On a pad letters fill no more than three fifths across their line, so that enough of it bears."""
    share = ON_PAD if on_pad else 1.0
    return (share * room[0], room[1]) if turned else (room[0], share * room[1])


def _letters(text: str, spot: MarkSpot, *, turned: bool) -> float:
    """How high the letters of a text come out, by the rule of `engraved`."""
    room = _kept(spot[2], turned=turned, on_pad=spot[3])
    return letter_height(text, (room[1], room[0]) if turned else room)
