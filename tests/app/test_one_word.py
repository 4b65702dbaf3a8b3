"""One word for one thing in all that the tool says: commands, help, refusals, notes, papers, pages, schemas, README.

A reader who meets two words looks for two things. The words are those of the trade (common practice); in code, keys and
file names others may stand, so keys of a recipe, code between backticks and what is quoted are left out.
"""

from __future__ import annotations

import html
import io
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import click
import pikepdf
import pytest

from solids.app.batch.index import IN_OPENING, html_bytes
from solids.app.batch.worker import Outcome
from solids.app.cli import cli
from solids.base.json_schema import VALUES
from solids.recipe.tables.schema import recipe_schema, shop_schema
from solids.recipe.text.starter import starter_text
from solids.write.files.table import GROUPS, Job, files_of
from solids.write.report import BoxReport, piece_report, report_bytes, report_schema
from tests.boxes import job_of_box
from tests.commands import halfpin
from tests.corners import piece_of
from tests.write.paper.reading import words_of


@dataclass(frozen=True)
class Rule:
    """A word that is not used (a pattern), the one that is, and what makes a sentence right all the same."""

    wrong: str
    right: str
    unless: str = ""


RULES = (
    Rule(r"results?|outcomes?|judg(e)?ments?", "verdict"),
    Rule(r"datum( edge)?", "reference edge"),
    Rule(r"lower edges?|bottom edges?", "reference edge", unless=r"reference edge"),
    Rule(r"far edge|opposite edge", "other edge"),
    Rule(r"as finished|final(ly)?|done state|when (it|all) is done", "finished"),
    Rule(r"panels?|base(?! recipe| line)", "bottom", unless=r"triangle"),
    Rule(r"deg|[\d.]+ ?°.?", "degrees"),
    Rule(r"caution:?|remarks?", "warning"),
    Rule(r"tailboards?|pinboards?", "tail board, pin board"),
    Rule(r"(router|milling) bits?", "cutter"),
    Rule(r"recess(es)?|mortises?", "socket"),
    Rule(r"base line|shoulder line|depth line|knife wall", "baseline"),
    Rule(r"scribe[sd]?|scribing|scratch(ed)? line", "gauge"),
    Rule(r"outside faces?|outer faces?|face side", "show face"),
    Rule(r"inner faces?|back faces?", "inside face"),
    Rule(r"half-pins?|end pins?|outer pins?", "half pin"),
    Rule(r"cheeks?|slanted sides?|sloping sides?|sloping faces?", "flank", unless=r"flank"),
)

DEGREES_AS_A_SIGN = "drawing."
"""Drawings write degrees as drawings do."""

LEFT_OUT = (
    r"`[^`]*`",  # code
    r'"[^"\n]{0,60}"',  # what is typed, or stands engraved on an aid
    r"\b[a-z_]+(\.[a-z_]+)+\b",  # keys of a recipe
    r"(?m)^\s*\[[a-z_.]+\].*$",  # tables of a recipe
    r"--[a-z]+",  # options
)


def sentences(text: str) -> list[str]:
    """A text as sentences, without what is no speech. Lines that run on are joined, an empty line ends a sentence."""
    for pattern in LEFT_OUT:
        text = re.sub(pattern, "...", text)
    joined = re.sub(r"(?<!\n)\n(?!\n)[ \t]*", " ", text)
    return [sentence.strip() for sentence in re.split(r"(?<=[.:;!?])\s+|\n+|\s\s+", joined) if sentence.strip()]


def wrong_words(name: str, text: str) -> list[str]:
    """Every sentence of a text with a word that is not used, and the word that is."""
    found = []
    for sentence in sentences(text):
        for rule in RULES:
            if rule.right == "degrees" and DEGREES_AS_A_SIGN in name:
                continue
            met = re.search(rf"(?<![\w-])({rule.wrong})(?![\w-])", sentence, re.IGNORECASE)
            if met and not (rule.unless and re.search(rule.unless, sentence, re.IGNORECASE)):
                found.append(f'{name}: not "{met[0]}" but "{rule.right}": {sentence[:160]}')
    return found


# --- what the tool says ----------------------------------------------------------------------------

SPOKEN = (".md", ".html", ".csv", ".svg", "sheet.pdf", "template.pdf", "drawing.pdf", "booklet.pdf")
PIECES = {
    "inches": ("tea-box", 'kit.chisels=["1/4 in"]'),
    "half-blind": (
        "drawer-front",
        "undercut.depth=0.3",
        "entry_chamfer.width=1",
        "kit.cutters=[3]",
        "fit.flank_gap=-0.02",
    ),
    "drawer": ("desk-drawer", "tail_board.thickness=[11, 10.8]"),
    "box": ("keepsake-box", "box.groove.ends=plugged", "box.tails_on=ends", "finish.ends=proud"),
}
WITH_AIDS = "half-blind"


@cache
def piece(name: str) -> Job:
    preset, *overrides = PIECES[name]
    return job_of_box(preset, *overrides) if name in ("drawer", "box") else piece_of(preset, *overrides)


def speech(name: str, data: bytes) -> str:
    """What a person reads of a file."""
    if name.endswith(".pdf"):
        return "\n\n".join(words_of(data, page) for page in range(page_count(data)))
    text = data.decode("utf-8")
    if name.endswith((".html", ".svg")):
        text = re.sub(r"(?s)<(script|style)\b.*?</\1>|<!--.*?-->", " ", text)
        return html.unescape(re.sub(r"</?(p|li|h\d|td|th|tr|div|text|title|option|label)\b[^>]*>", "\n\n", text))
    return text


def page_count(data: bytes) -> int:
    with pikepdf.open(io.BytesIO(data)) as document:
        return len(document.pages)


def said_in(value: Any) -> Iterator[str]:
    """Every text in a report but its recipe in TOML."""
    if isinstance(value, dict):
        for key, item in value.items():
            yield from said_in(item) if key != "frozen_recipe" else ()
    elif isinstance(value, list):
        for item in value:
            yield from said_in(item)
    elif isinstance(value, str):
        yield value


def descriptions(schema: Any) -> Iterator[str]:
    """What a schema says of its keys and tables."""
    if isinstance(schema, dict):
        if isinstance(schema.get("description"), str):
            yield schema["description"]
        for key, value in schema.items():
            yield from descriptions(value) if key not in VALUES else ()
    elif isinstance(schema, list):
        for item in schema:
            yield from descriptions(item)


@pytest.mark.parametrize("name", PIECES)
@pytest.mark.whole
def test_files_say_one_word_for_one_thing(name: str) -> None:
    job = piece(name)
    groups = [group for group in GROUPS if group != "aids" or name == WITH_AIDS]
    files = [file for group in groups for file in files_of(job, group) if file.name.endswith(SPOKEN)]
    assert len(files) >= 6
    wrong = [wrong for file in files for wrong in wrong_words(file.name, speech(file.name, file.make()))]
    report = json.loads(report_bytes(piece_report(job.proof.assembly, job.proof)))
    wrong += wrong_words("report.json", "\n\n".join(said_in(report)))
    wrong += wrong_words("names of files", "\n\n".join(file.holds for group in groups for file in files_of(job, group)))
    assert wrong == []


SPOKEN_COMMANDS = (
    ("layout", "tea-box"),
    ("layout", "desk-drawer"),
    ("layout", "keepsake-box", "--set", "box.panel.kind=plywood", "--set", "box.groove.ends=through"),
    ("check", "drawer-front", "--set", "fit.flank_gap=-0.2"),
    ("check", "keepsake-box", "--set", "undercut.depth=0.3", "--set", "climate.home=21 C, 20 %"),
    ("compare", "tool-tray", "--tails", "2,9"),
    ("presets",),
    ("shop",),
    ("woods",),
    ("layout", "tool-tray", "--set", "joint.slope=1:1", "--set", "joint.spacing=odd", "--set", "climate.home=hot"),
    ("layout", "tool-tray", "--set", "joint.half_pin=2", "--set", "undercut.depth=9", "--set", "finish.chamfer=3"),
    ("layout", "keepsake-box", "--set", "box.groove.depth=1", "--set", "box.panel.clearance=4"),
    ("layout", "keepsake-box", "--set", "box.groove.up=2", "--set", "box.height=40"),
    ("layout", "desk-drawer", "--set", "box.panel.wood=nowhere", "--set", "box.panel.grain=across"),
)


@pytest.mark.parametrize("command", SPOKEN_COMMANDS, ids=" ".join)
def test_commands_say_one_word_for_one_thing(command: tuple[str, ...]) -> None:
    done = halfpin(*command)
    assert len(done.stdout + done.stderr) > 40
    assert wrong_words(" ".join(command), f"{done.stdout}\n\n{done.stderr}") == []


def test_help_starters_schemas_index_and_readme_say_one_word_for_one_thing(tmp_path: Path) -> None:
    texts = {
        f"{name} --help": command.get_help(click.Context(command, info_name=name))
        for name, command in [("halfpin", cli), *cli.commands.items()]
    }
    assert len(texts) > 10
    texts |= {f"new --preset {name}": starter_text(name).replace("#", "\n\n") for name in ("tool-tray", "desk-drawer")}
    schemas = (recipe_schema(), shop_schema(), report_schema(), report_schema(BoxReport))
    texts["schemas"] = "\n\n".join(said for schema in schemas for said in descriptions(schema))
    row = Outcome("row 2", "one", "one", "k", "passes", "it holds")
    texts["index.html"] = speech("index.html", html_bytes([row], tmp_path)) + "\n\n" + ", ".join(IN_OPENING.values())
    readme = Path(__file__).parents[2].joinpath("README.md").read_text("utf-8")
    texts["README.md"] = re.sub(r"(?s)```.*?```", "", readme)
    assert [wrong for name, text in texts.items() for wrong in wrong_words(name, text)] == []


# --- the check itself ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "right"),
    [
        ("The result: it passes.", "verdict"),
        ("Measure from the datum.", "reference edge"),
        ("It begins at the lower edge of the back.", "reference edge"),
        ("The far edge is planed.", "other edge"),
        ("The box as finished", "finished"),
        ("The panel lies in a groove.", "bottom"),
        ("It leans by 8.1 deg.", "degrees"),
        ("Bevel 8.1°", "degrees"),
        ("caution: it is thin", "warning"),
        ("Chop each recess.", "socket"),
        ("Down to the\nbase line.", "baseline"),
        ("Scribe the inside face.", "gauge"),
        ("On the outside face", "show face"),
        ("On the inner\nface", "inside face"),
        ("An end pin splits.", "half pin"),
        ("on each sloping side", "flank"),
    ],
)
def test_a_wrong_word_is_found_and_the_right_one_named(said: str, right: str) -> None:
    (told,) = wrong_words("a note", said)
    assert f'but "{right}"' in told


def test_what_is_typed_quoted_or_explained_is_no_wrong_word() -> None:
    for said in (
        'Set `box.panel.kind`, or write "8 deg".',
        "box.panel.grain = length: along the longer side.",
        "Measure from the lower edge of the boards, the reference edge, at every corner.",
        "Its flanks, the sloping sides",
        "All cautions stand in the papers.",
        "triangle A, base; reference edge down",
    ):
        assert wrong_words("a note", said) == []
    assert wrong_words("drawing.pdf", "8.1°") == []
