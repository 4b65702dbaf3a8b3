"""What a key that is not known was meant to be: by its meaning in the trade, else by its spelling, else nothing."""

from __future__ import annotations

from collections.abc import Sequence

from solids.base.likeness import LONGEST_NAME, likest, sharing_a_word
from solids.recipe.tables.schema import known_keys, list_of, listed_tables

MOST_MEANT = 2
"""How many keys are offered where keys of other tables end in the same word. Of more, none is."""

IN_A_JOINT = "box.joints."

BOARDS = ("tail_board.{}", "pin_board.{}")
WOOD = tuple(key.format("wood") for key in BOARDS)
THICKNESS = tuple(key.format("thickness") for key in BOARDS)
LENGTH = tuple(key.format("length") for key in BOARDS)
SAWN = tuple(key.format("sawn") for key in BOARDS)

MEANINGS: dict[str, tuple[str, ...]] = {
    "box.depth": ("box.width",),
    "box.splay": (),
    "box.tails": ("joint.tails",),
    "box.thickness": THICKNESS,
    "box.wood": WOOD,
    "box.gap": ("box.panel.clearance",),
    "box.bottom": ("box.panel.kind",),
    "box.rebate": ("box.panel.held",),
    "box.slips": ("box.panel.held",),
    "entry_chamfer.depth": ("entry_chamfer.width",),
    "joint.depth": ("pin_board.thickness", "joint.lap"),
    "joint.length": LENGTH,
    "angle": ("joint.slope",),
    "brand": ("aids.marker.words",),
    "engraving": ("aids.marker.words",),
    "bits": ("kit.cutters",),
    "bit": ("kit.cutters",),
    "bushing": ("kit.bush",),
    "by_eye": ("joint.spacing",),
    "count": ("joint.tails",),
    "depth": ("box.width", "pin_board.thickness"),
    "day": ("date",),
    "designer": ("author",),
    "dovetails": ("joint.tails",),
    "end_pin": ("joint.half_pin",),
    "end_pins": ("joint.half_pin",),
    "grain": SAWN,
    "half_pins": ("joint.tails", "joint.half_pin"),
    "height": ("joint.width", "box.height"),
    "house": ("climate.home",),
    "humidity": ("climate.shop", "climate.home"),
    "inches": ("units",),
    "kerf": ("kit.saw_kerf",),
    "layout": ("joint.spacing",),
    "length": (*LENGTH, "box.length"),
    "material": WOOD,
    "name": ("title",),
    "number": ("joint.tails",),
    "overhang": ("tail_board.proud", "pin_board.proud"),
    "pin_width": ("joint.pin",),
    "pins": ("joint.tails", "joint.pin"),
    "pitch": ("joint.slope",),
    "random": ("joint.spacing", "joint.seed"),
    "ratio": ("joint.slope",),
    "router_bits": ("kit.cutters",),
    "sheet": ("paper.size",),
    "socket": ("joint.pin",),
    "sockets": ("joint.tails", "joint.pin"),
    "species": WOOD,
    "style": ("joint.look",),
    "thick": THICKNESS,
    "thickness": THICKNESS,
    "tail_count": ("joint.tails",),
    "timber": WOOD,
    "tolerance": ("fit.flank_gap",),
    "type": ("joint.kind",),
    "unit": ("units",),
    "width": ("joint.width",),
}
"""What makers call a key by its last word, or by its whole path. Common practice."""


ENDS_OF_DIVIDER = ("ends", "ends_at", "ends_in", "between", "from", "start", "stop", "to")
"""What a maker might call the place where a divider ends short of a board."""


def nearest_keys(key: str) -> tuple[str, ...]:
    """The known keys, or tables, that a key may be meant for, the likest first; often none."""
    key = key.lower()[:LONGEST_NAME]
    table, _, word = key.rpartition(".")
    if key in MEANINGS:
        return MEANINGS[key]
    if name := list_of(key):
        inside = list(listed_tables()[name].model_fields)
        near = _only(likest(word, inside)) or _only(sharing_a_word(word, inside))
        return (_inside(table, near),) if near else ()
    if not word:
        return ()
    if word in MEANINGS:
        meant = MEANINGS[word]
        own = [here for each in meant if (here := _inside(table, each.rpartition(".")[2])) in known_keys()]
        return tuple(dict.fromkeys(own)) or meant
    names = _names_in(table)
    near = _only(likest(word, names)) or _only(sharing_a_word(word, names))
    elsewhere = _elsewhere(word)
    if near and not elsewhere:
        return (_inside(table, near),)
    return elsewhere or _near_table(table, word)


def keys_meant(key: str) -> str:
    """What to write in place of a key that is not known: the nearest one, or all that its table takes."""
    table, _, word = key.lower().rpartition(".")
    if word in ENDS_OF_DIVIDER and list_of(key.lower()) == "box.divider":
        return "every divider ends in two opposite boards, and where two cross they are halved; give runs and at"
    near = nearest_keys(key)
    if len(near) == 1:
        return f"the nearest known key is {near[0]}"
    if near:
        return f"the nearest known keys are {', '.join(near[:-1])} and {near[-1]}"
    inside = _names_in(table)
    while table and not inside:
        table = table.rpartition(".")[0]
        inside = _names_in(table)
    name = f"[[{listed}]]" if (listed := list_of(f"{table}.")) else f"[{table}]" if table else "a recipe"
    return f"{name} takes {', '.join(inside)}"


def _names_in(table: str) -> list[str]:
    """The names of the keys and tables right inside a table; of the whole recipe for ""."""
    if name := list_of(f"{table}."):
        return list(listed_tables()[name].model_fields)
    prefix = f"{table}." if table else ""
    return list(dict.fromkeys(key[len(prefix) :].partition(".")[0] for key in known_keys() if key.startswith(prefix)))


def _inside(table: str, name: str) -> str:
    return f"{table}.{name}" if table else name


def _only(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else ""


def _elsewhere(word: str) -> tuple[str, ...]:
    """The keys of any table that end in a word, where they are few; else the tables of that name."""
    known = [name for name in known_keys() if not name.startswith(IN_A_JOINT)]
    corner = [name for name in known if not name.startswith("box.")]
    tables = list(dict.fromkeys(name.rpartition(".")[0] for name in known))
    for names in (corner, known, tables):
        same = [name for name in names if name.rpartition(".")[2] == word]
        if 0 < len(same) <= MOST_MEANT:
            return tuple(same)
    return ()


def _near_table(table: str, word: str) -> tuple[str, ...]:
    """What is spelt nearly so in a table of nearly that name; for a key without a table, in any."""
    known = [name for name in known_keys() if not name.startswith((IN_A_JOINT, "box."))]
    tables = dict.fromkeys(name.rpartition(".")[0] for name in known_keys())
    for near in likest(table, tables):
        found = _only(likest(word, _names_in(near)))
        if found:
            return (_inside(near, found),)
    lasts = [name.rpartition(".")[2] for name in known]
    found = _only(likest(word, lasts)) or _only(sharing_a_word(word, lasts))
    return tuple(name for name in known if name.rpartition(".")[2] == found) if lasts.count(found) == 1 else ()
