"""A small, strict reader of STEP files that shares no code with Open CASCADE: ISO 10303-21:2002, clear text encoding.

It follows the standard's productions (WSN notation) and refuses whatever they do not allow. What they call a
simple record is a keyword with its parameters; an instance is one such record, or several in brackets.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

HEADER_ORDER = ["FILE_DESCRIPTION", "FILE_NAME", "FILE_SCHEMA"]

# Part 21's own alphabet in a text: printable ASCII, '' for an apostrophe, \\ for a backslash, and control directives.
_DIRECTIVE = r"\\X2\\(?:[0-9A-F]{4})+\\X0\\|\\X4\\(?:[0-9A-F]{8})+\\X0\\|\\X\\[0-9A-F]{2}|\\S\\[ -~]|\\P[A-I]\\|\\\\"
_TOKEN = re.compile(
    rf"""(?P<real>[+-]?[0-9]+\.[0-9]*(?:E[+-]?[0-9]+)?)
    |(?P<integer>[+-]?[0-9]+)
    |(?P<text>'(?:[ !-&(-\[\]-~]|''|{_DIRECTIVE})*')
    |(?P<name>\#[0-9]+)
    |(?P<enumeration>\.[A-Z_][A-Z_0-9]*\.)
    |(?P<keyword>!?[A-Z_][A-Z_0-9]*)
    |(?P<mark>[(),;=$*])""",
    re.VERBOSE,
)
_SPACE = re.compile(r" *")


class SyntaxFaultError(Exception):
    """Something that the standard's grammar does not allow."""


@dataclass(frozen=True)
class Ref:
    """A reference to an instance: #12."""

    number: int


@dataclass(frozen=True)
class Word:
    """An enumeration without its dots, or $ or *."""

    text: str


@dataclass(frozen=True)
class Record:
    """A keyword with its parameters; a typed parameter has the same form."""

    keyword: str
    values: tuple[Any, ...]


@dataclass(frozen=True)
class StepFile:
    """The header's records in order, and every instance of the data section by its number."""

    header: tuple[Record, ...]
    data: dict[int, tuple[Record, ...]]

    def all(self, keyword: str) -> list[Record]:
        """Every record of this keyword, in the file's order."""
        return [record for records in self.data.values() for record in records if record.keyword == keyword]

    def get(self, ref: Ref, keyword: str = "") -> Record:
        """The record of this keyword in an instance; its only record where no keyword is given."""
        found = [record for record in self.data[ref.number] if keyword in ("", record.keyword)]
        assert len(found) == 1, f"#{ref.number} is no {keyword}"
        return found[0]

    def number_of(self, record: Record) -> int:
        """The instance number of a record that `all` gave."""
        return next(number for number, records in self.data.items() if any(item is record for item in records))


def read_step(data: bytes) -> StepFile:
    """The whole file; SyntaxFaultError where it leaves the grammar or refers to what is not there."""
    try:
        text = data.decode("ascii")
    except UnicodeDecodeError as err:
        raise SyntaxFaultError(f"byte {err.start} is not ASCII") from None
    if re.search(r"[^ -~\n]", text):
        raise SyntaxFaultError("a control character")
    # Line ends are no part of the alphabet: a reader passes over them, in a text as well (from memory).
    text = text.replace("\n", "")
    head, data_text = _between(text, "ISO-10303-21;", "END-ISO-10303-21;")
    header = tuple(record for _, records in _Reader(head).section("") for record in records)
    if [record.keyword for record in header] != HEADER_ORDER:
        raise SyntaxFaultError(f"the header holds {[record.keyword for record in header]}")
    instances: dict[int, tuple[Record, ...]] = {}
    for number, records in _Reader(data_text).section("#"):
        if number in instances:
            raise SyntaxFaultError(f"#{number} stands twice")
        instances[number] = records
    for number, records in instances.items():
        for ref in _references(records):
            if ref.number not in instances:
                raise SyntaxFaultError(f"#{number} refers to #{ref.number}, which is not there")
    return StepFile(header, instances)


def _between(text: str, start: str, end: str) -> tuple[str, str]:
    whole = re.fullmatch(rf"{start} *HEADER;(.*?)ENDSEC; *DATA;(.*)ENDSEC; *{end}", text)
    if whole is None:
        raise SyntaxFaultError("not a HEADER and one DATA section between the two marks of the standard")
    return whole[1], whole[2]


def _references(value: Any) -> Iterator[Ref]:
    if isinstance(value, Ref):
        yield value
    elif isinstance(value, Record):
        yield from _references(value.values)
    elif isinstance(value, tuple):
        for item in value:
            yield from _references(item)


class _Reader:
    """Goes through a section token by token."""

    def __init__(self, text: str) -> None:
        self.tokens = list(_tokens(text))
        self.at = 0

    def section(self, name_mark: str) -> Iterator[tuple[int, tuple[Record, ...]]]:
        """Every instance with its number; 0 in the header, where they have none."""
        while self.at < len(self.tokens):
            number = 0
            if name_mark:
                number = int(self.take("name")[1:])
                self.take("mark", "=")
            yield number, self.instance()
            self.take("mark", ";")

    def take(self, kind: str, wanted: str = "") -> str:
        found, text = self.tokens[self.at] if self.at < len(self.tokens) else ("end", "")
        if found != kind or (wanted and text != wanted):
            raise SyntaxFaultError(f"token {self.at} is {text!r} where {wanted or kind} belongs")
        self.at += 1
        return text

    def next_is(self, text: str) -> bool:
        return self.at < len(self.tokens) and self.tokens[self.at] == ("mark", text)

    def instance(self) -> tuple[Record, ...]:
        if not self.next_is("("):
            return (self.record(),)
        self.take("mark", "(")
        records = []
        while not self.next_is(")"):
            records.append(self.record())
        self.take("mark", ")")
        names = [record.keyword for record in records]
        if names != sorted(names):
            raise SyntaxFaultError(f"a complex instance not in alphabetical order: {names}")
        return tuple(records)

    def record(self) -> Record:
        return Record(self.take("keyword"), self.parameters())

    def parameters(self) -> tuple[Any, ...]:
        self.take("mark", "(")
        values: list[Any] = []
        while not self.next_is(")"):
            if values:
                self.take("mark", ",")
            values.append(self.parameter())
        self.take("mark", ")")
        return tuple(values)

    def parameter(self) -> Any:
        if self.next_is("("):
            return self.parameters()
        kind, text = self.tokens[self.at] if self.at < len(self.tokens) else ("end", "")
        if kind == "keyword":
            return self.record()
        self.at += 1
        if kind == "mark" and text in "$*":
            return Word(text)
        makers = {"real": float, "integer": int, "text": decoded, "enumeration": lambda t: Word(t[1:-1])}
        if kind == "name":
            return Ref(int(text[1:]))
        if kind not in makers:
            raise SyntaxFaultError(f"{text!r} is no parameter")
        return makers[kind](text)


def _tokens(text: str) -> Iterator[tuple[str, str]]:
    at = _SPACE.match(text).end()  # type: ignore[union-attr]
    while at < len(text):
        match = _TOKEN.match(text, at)
        if match is None:
            raise SyntaxFaultError(f"no token begins at {text[at : at + 30]!r}")
        yield str(match.lastgroup), match[0]
        at = _SPACE.match(text, match.end()).end()  # type: ignore[union-attr]


def decoded(text: str) -> str:
    """A text token without its quotes, its directives turned into the characters they stand for (clause 6.4.3)."""
    inner = text[1:-1].replace("''", "'")

    def character(match: re.Match[str]) -> str:
        digits = match[2]
        if match[1] == "2":
            return bytes.fromhex(digits).decode("utf-16-be")
        return bytes.fromhex(digits).decode("utf-32-be")

    return re.sub(r"\\X([24])\\([0-9A-F]+)\\X0\\", character, inner).replace("\\\\", "\\")
