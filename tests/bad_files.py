"""Bad recipes, tables and reports by the hundred, for the hostile trial."""

from __future__ import annotations

import json
import random
from collections.abc import Callable

from solids.recipe import preset_text

GOOD = preset_text("tool-tray")

Dice = random.Random


def noise(dice: Dice) -> bytes:
    return dice.randbytes(dice.choice((0, 1, 50, 5000)))


def cut_short(dice: Dice) -> bytes:
    return GOOD.encode()[: dice.randrange(len(GOOD))]


def bytes_changed(dice: Dice) -> bytes:
    data = bytearray(GOOD.encode())
    for _ in range(dice.randint(1, 5)):
        data[dice.randrange(len(data))] = dice.randrange(256)
    return bytes(data)


def deep(dice: Dice) -> bytes:
    many = dice.choice((10, 17, 200, 990, 3000, 60_000))
    key, lists, braces = ".".join(["a"] * many), "[" * many + "]" * many, "{a=" * many + "1" + "}" * many
    return dice.choice((f"{key}=1", f"[{key}]", f"[kit]\nchisels={lists}", f"x={braces}", f"x={{{key}=1}}")).encode()


def odd_value(dice: Dice) -> bytes:
    odd = ("nan", "-inf", "1e308", "9" * 5000, "0x" + "f" * 9000, "true", "[]", "{}", "[[1]]", "1979-05-27", '"1/0 in"')
    odd += ('"\\u0000"', '"\\ud800"', '"\\u202e"', '"=1+1"', '"' + "x" * 70_000 + '"', "'''a\nb'''", "07:00:00", '""')
    lines = GOOD.split("\n")
    places = [number for number, line in enumerate(lines) if " = " in line]
    for number in dice.sample(places, dice.randint(1, 3)):
        lines[number] = f"{lines[number].partition(' = ')[0]} = {dice.choice(odd)}"
    return "\n".join(lines).encode()


def odd_table(dice: Dice) -> bytes:
    odd = (
        "joint = 5",
        "[[joint]]",
        "box = []",
        "[box]\n[box]",
        "[box]\nlength = {}",
        '["\\u001b[2J"]',
        "[joint.width]",
    )
    return f"{dice.choice(odd)}\n{dice.choice((GOOD, ''))}".encode()


def other_text(dice: Dice) -> bytes:
    coded = GOOD.encode(dice.choice(("utf-16", "utf-32-be", "utf-8-sig", "cp037")))
    return dice.choice((coded, bytes(3000), b"#" * 300_000, b"\r" * 999, GOOD.replace("\n", "\r").encode(), b"\x1b[2J"))


RECIPES: tuple[Callable[[Dice], bytes], ...] = (noise, cut_short, bytes_changed, deep, odd_value, odd_table, other_text)
NAMES = (
    b"a",
    b"\xff\xfe",
    b"\x1b[2J",
    b"a\nb",
    b"-rf",
    b"=1+1",
    b"@x",
    b" ",
    b"x" * 190,
    "箱".encode(),
    b"aux",
    b"%s",
    b"'",
)


def bad_recipe(dice: Dice) -> bytes:
    """A recipe that is none, or that has bad keys."""
    return dice.choice(RECIPES)(dice)


def bad_table(dice: Dice) -> bytes:
    """A table that is none, or that has bad cells."""
    heads = dice.choice(
        ("title,joint.width", "joint.width", "title;joint.width", "a.b.c", "title,title", "\x1b[2J", "")
    )
    cells = ('"', '"""', "\x00", "=1+1", "1,5", "x" * 140_000, "9" * 400, "[[", "\x1b]0;x\x07", "", "-", "a/b", "nan")
    rows = [f"{dice.choice(cells)},{dice.choice(cells)}" for _ in range(dice.randint(0, 3))]
    data = "\n".join([heads, *rows]).encode()
    return dice.choice(
        (data, data, data, b"\xef\xbb\xbf" + data, data.replace(b"\n", b"\r"), data + b"\xff", noise(dice))
    )


def bad_report(dice: Dice) -> bytes:
    """A report that was changed by somebody."""
    record = {"name": dice.choice(("corner.step", "../x", "/etc/passwd", "a/b/c", "\x1b")), "bytes": 1, "sha256": "0"}
    plain = {"schema": dice.choice(("urn:halfpin:report:9", "x", 5)), "title": "tool tray", "files": [record]}
    for key in dice.sample(sorted(plain), dice.randint(0, 2)):
        plain[key] = dice.choice((None, 1, [], {}, "x", [1], [[]]))
    return json.dumps(plain).replace('"bytes": 1', f'"bytes": {dice.choice(("1e999", "-1", "9" * 4000))}').encode()
