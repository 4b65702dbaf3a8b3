"""The one table of files: what each is called, what it holds, which pieces have it, and whether it is for the piece, a
board or a joint. Plain data: commands and batch runs read it without loading what makes the files."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal, get_args

from solids.base.errors import InputError
from solids.base.tolerances import MOST_DIVIDERS

if TYPE_CHECKING:  # which takes a moment to load, and the help of a command needs none of it
    from solids.layout.assembly import JointKind, PieceName

Group = Literal["corner", "paper", "board", "model", "gaps", "page", "picture", "aids"]
GROUPS: tuple[Group, ...] = get_args(Group)
"""What can be asked for. The shop aids come last, as their number depends on the joint."""

Scope = Literal["piece", "board", "joint"]

NOTE, SETUP_SHEET = "cnc-jig-note.md", "setup-sheet.pdf"
BOX_NOTE, BOX_SHEET = "box-note.md", "box-sheet.pdf"
GLUE_UP = "glue-up.pdf"
AIDS_FOLDER, AIDS_NOTE = "aids/", "aids-note.md"
"""Where the shop aids go, in the folder of a joint alone, and what leads to them all there."""
BOOKLET = "booklet.pdf"
DRAWINGS = "drawings/"
"""Where the drawings of a whole box lie one by one."""
DRAWN = {
    "views": "plan and elevations of the box",
    "sections": "sections of the box, across and along",
    "boards": "every different board of the box, whole",
    "assembly": "the box put together and apart, with its parts numbered",
}
"""What they are called, and what each holds."""
BILL = "bill-of-materials.csv"
CUTTING_PLAN, CUTTING_PICTURE, CUT_LIST = "cutting-plan.pdf", "cutting-plan.svg", "cut-list.csv"
TEMPLATE = "template.pdf"
BOARDS = "boards/"
"""Where each board lies by itself."""

OFFERED: dict[Group, tuple[str, str]] = {
    "paper": ("halfpin paper", "single sheets for the bench"),
    "aids": ("halfpin aids", "aids to print"),
    "page": ("halfpin build --page", "a page to turn it in a browser"),
    "picture": ("halfpin build --picture", "a picture"),
    "model": ("halfpin build --model", "a model for viewers"),
    "gaps": ("halfpin build --gaps", "a model coloured by its gaps"),
}
"""What a plain `halfpin build` leaves out: the command that writes it, and what it is, the most wanted first."""


@dataclass(frozen=True)
class PieceKind:
    """What is said of one kind of piece: `what` a verdict calls it, what is `proved` of it, and what it is `called`
    where it lacks a file that was asked for. Its `note` holds the cautions for most of its files, and `boards` are what
    `{board}` stands for in their names."""

    what: str
    proved: str
    called: str
    note: str
    boards: tuple[str, ...]


DIVIDERS = tuple(f"divider-{number}" for number in range(1, MOST_DIVIDERS + 1))
"""Parts that a number alone tells apart. Those that are alike share the files of the first."""

PIECES: dict[PieceName, PieceKind] = {
    "corner": PieceKind(
        "joint", "the two boards go together", "a single corner", NOTE, boards=("tail-board", "pin-board")
    ),
    "box": PieceKind(
        "box",
        "the box goes together",
        "a box like this",
        BOX_NOTE,
        boards=("front", "right", "back", "left", "bottom", "top", "lid", *DIVIDERS),
    ),
}

LOOSE = ("bottom", "top", "lid", *DIVIDERS)
"""Boards that no joint holds: there is nothing to mark on them."""

BOARD_NAMES = {
    name.removesuffix("-board"): name for kind in PIECES.values() for name in kind.boards if name not in LOOSE
}
"""The boards as a maker asks for one, and as they stand in names of files."""


@dataclass(frozen=True)
class Row:
    """One file. Its `scope` is the piece, each board, or each kind of joint. In a piece of several joints, the files of
    a joint lie in a folder of their own, or carry its name. `cautions` names the file that holds the cautions for this
    one: itself where it holds them all, "" for the note of the piece. No set is written without it. A file may come
    `also` with a second group: it is made once, whichever is asked for. A board that is named in `without` has none.
    One that is `of_rack` is there only where the maker named boards to cut from."""

    name: str
    holds: str
    of: tuple[PieceName, ...]
    scope: Scope = "piece"
    group: Group = "corner"
    cautions: str = ""
    also: Group | None = None
    without: tuple[str, ...] = ()
    of_rack: bool = False


Made = tuple[Callable[..., bytes], Callable[..., None]]
"""What makes the file of a row, and what reads it back: from the job of the piece, and from the name of the board or
the kind of joint that it is of. The reader gets the path before them."""


@dataclass(frozen=True)
class File:
    """One file: its name, what it holds, how its bytes are made, how the written file is read back, and the name of the
    file that holds its cautions, which may be itself."""

    name: str
    holds: str
    make: Callable[[], bytes]
    reread: Callable[[Path], None]
    cautions: str


CORNER: tuple[PieceName, ...] = ("corner",)
BOX: tuple[PieceName, ...] = ("box",)
BOTH: tuple[PieceName, ...] = ("corner", "box")

ROWS: tuple[Row, ...] = (
    Row("corner.step", "both boards as cut, put together", CORNER),
    Row("corner-finished.step", "both boards finished, put together", CORNER),
    Row("box.step", "the box as cut, every board in its place", BOX),
    Row("box-finished.step", "the box finished, every board in its place", BOX),
    Row(
        "waste.step", "the wood to take away, a body for each cut: plain boards less these are the boards as cut", BOTH
    ),
    Row(f"{BOARDS}{{board}}.step", "{board} as cut, as it lies in the machine", BOTH, "board"),
    Row(f"{BOARDS}{{board}}.stl", "{board} as cut, as a mesh in mm", BOTH, "board"),
    Row(f"{BOARDS}{{board}}.dxf", "outline, areas and cutter paths of {board}, for CAM", BOTH, "board"),
    Row(f"{BOARDS}{{board}}.svg", "the outline of {board} at full size", BOTH, "board"),
    Row(BILL, "the bill of materials: parts, how many, sizes, wood, mass, hardware; for a spreadsheet", BOTH),
    Row(
        CUTTING_PLAN,
        "what is sawn out of which board of your rack, cut by cut, what is left and what is missing",
        BOTH,
        cautions=CUTTING_PLAN,
        also="paper",
        of_rack=True,
    ),
    Row(
        CUTTING_PICTURE,
        "the boards of the cutting plan as a picture",
        BOTH,
        group="paper",
        cautions=CUTTING_PLAN,
        of_rack=True,
    ),
    Row(CUT_LIST, "the cut list, finished and rough, for a spreadsheet", BOX),
    Row(
        NOTE,
        "how to cut this joint by hand, with printed aids and with a CNC router, and the cautions",
        CORNER,
        "joint",
        cautions=NOTE,
    ),
    Row(NOTE, "how to cut it by hand, with printed aids and with a CNC router", BOX, "joint", cautions=NOTE),
    Row(BOX_NOTE, "cut list, marks, corners, the order of work, and the cautions", BOX),
    Row(
        BOOKLET,
        "all papers in one: cover, cut list, setup, templates at 1:1, glue-up, order of work, and the cautions",
        BOTH,
        cautions=BOOKLET,
        also="paper",
    ),
    Row(BOX_SHEET, "cut list, marks and the order of work", BOX, "piece", "paper", BOX_SHEET),
    Row(
        GLUE_UP,
        "the glue-up: order, goes, glue and seconds, clamps and cauls by place, and the cautions",
        BOTH,
        "piece",
        "paper",
        GLUE_UP,
    ),
    Row(
        "drawings.pdf",
        "drawings of the whole box, to print: plan, elevations, sections, every board, all parts apart",
        BOX,
        "piece",
        "paper",
        BOX_SHEET,
    ),
    *(
        Row(f"{DRAWINGS}{name}.{kind}", f"{holds}, {how}", BOX, "piece", "paper", BOX_SHEET)
        for name, holds in DRAWN.items()
        for kind, how in (("dxf", "for CAD"), ("svg", "as a picture"))
    ),
    Row(SETUP_SHEET, "what to set, saw, chop and plane, and every tail", BOTH, "joint", "paper", SETUP_SHEET),
    Row(TEMPLATE, "both boards at 1:1, to fold over their ends", BOTH, "joint", "paper", SETUP_SHEET),
    Row("drawing.dxf", "the shop drawing, for CAD", BOTH, "joint", "paper", SETUP_SHEET),
    Row("drawing.svg", "the shop drawing as a picture", BOTH, "joint", "paper", SETUP_SHEET),
    Row("drawing.pdf", "the shop drawing, to print", BOTH, "joint", "paper", SETUP_SHEET),
    Row(
        f"{BOARDS}{{board}}.pdf",
        "{board} alone at 1:1, to fold over its ends",
        BOTH,
        "board",
        "board",
        without=LOOSE,
    ),
    Row(
        "corner.glb",
        "both boards as cut, for viewers: in metres, the tail board slides home",
        CORNER,
        group="model",
    ),
    Row("box.glb", "the box as cut, for viewers, in metres; its boards slide home", BOX, group="model"),
    Row("corner-gaps.glb", "the same, each face coloured by how it meets its mate", CORNER, group="gaps"),
    Row(
        "corner.html",
        "a page to turn the joint, take it apart and cut it open",
        CORNER,
        group="page",
        cautions="corner.html",
    ),
    Row("box.html", "a page to turn the box, take it apart and cut it open", BOX, group="page", cautions="box.html"),
    Row("corner.png", "a picture of the joint, put together and apart", CORNER, group="picture"),
    Row("box.png", "a picture of the box, put together and apart", BOX, group="picture"),
)
"""Every file except the shop aids, and the report, which lists them."""


def file_names(row: Row, pieces: Collection[PieceName] = BOTH) -> list[str]:
    """The names that a row stands for in some pieces."""
    own = [piece for piece in row.of if piece in pieces]
    boards = dict.fromkeys(board for piece in own for board in PIECES[piece].boards if board not in row.without)
    return [row.name.format(board=board) for board in boards] if row.scope == "board" else [row.name] * bool(own)


NAMED: dict[str, tuple[Row, ...]] = {}
"""The rows that have a file of this name."""
for _row in ROWS:
    for _name in file_names(_row):
        NAMED[_name] = (*NAMED.get(_name, ()), _row)


def files_of_board(board: str, piece: PieceName) -> list[str]:
    """The names of all files of one of `BOARD_NAMES`. InputError where the piece has no such board."""
    there = {asked: name for asked, name in BOARD_NAMES.items() if name in PIECES[piece].boards}
    if board not in there:
        what = "a box" if piece == "box" else "a single corner"
        raise InputError(f"--board {board}: {what} has no such board; it has {', '.join(there)}")
    rows = (row for row in ROWS if row.scope == "board" and piece in row.of)
    return [row.name.format(board=there[board]) for row in rows]


def group_of(name: str) -> Group | None:
    """The group of a file, by its name in the folder of any piece; None where no piece has it."""
    folder, _, base = name.rpartition("/")
    if re.fullmatch(r"(.+-)?aids", folder):
        return "aids"
    rows = NAMED.get(NOTE if base.endswith(f"-{NOTE}") else name if f"{folder}/" in (BOARDS, DRAWINGS) else base)
    return rows[0].group if rows else None


USES = {
    "paper": "Paper for the bench",
    "machine": "For a machine, board by board",
    "aids": "Shop aids to print",
    "design": "Models, for a designer or a viewer",
}
"""What files are for, in the order in which a maker is told of them."""


def use_of(name: str) -> str:
    """Which of `USES` a file is for, by its name in the folder of any piece."""
    folder, _, base = name.rpartition("/")
    if group_of(name) == "aids" or base == AIDS_NOTE:
        return "aids"
    if base == NOTE or base.endswith(f"-{NOTE}") or (f"{folder}/" == BOARDS and not base.endswith(".pdf")):
        return "machine"
    return "paper" if group_of(name) == "paper" or base.endswith(PAPERS) else "design"


PAPERS = (".pdf", ".md", ".csv", ".toml")
"""How the names of what is read end."""


def pieces_with(asked: str) -> frozenset[PieceName]:
    """The pieces that have a certain file or group of files."""
    if asked == "aids":
        return frozenset(BOTH)
    if asked in GROUPS:
        return frozenset(piece for row in ROWS if row.group == asked for piece in row.of)
    names = {asked, f"{BOARDS}{asked}", f"{DRAWINGS}{asked}"}
    return frozenset(piece for piece in BOTH for row in ROWS if names & set(file_names(row, (piece,))))


def offered(piece: PieceName, made: Collection[Group] = ()) -> list[tuple[Group, str, str]]:
    """What else there is of a piece than what was `made`: each group with its command, and what it is."""
    return [(group, *words) for group, words in OFFERED.items() if piece in pieces_with(group) and group not in made]


def name_at(slug: str, name: str) -> str:
    """What a joint's own file is called in the folder of its piece. `slug` is that of its kind, "" for a joint
    alone."""
    if not slug:
        return name
    return f"{slug}-{name}" if name == NOTE or name.startswith(AIDS_FOLDER) else f"{slug}/{name}"


def in_piece(file: File, kind: JointKind) -> File:
    """A joint's own file, as it is called and described in the folder of its piece."""
    if not kind.slug:
        return file
    name, cautions = name_at(kind.slug, file.name), name_at(kind.slug, file.cautions)
    return replace(file, name=name, holds=f"{kind.title}: {file.holds}", cautions=cautions)
