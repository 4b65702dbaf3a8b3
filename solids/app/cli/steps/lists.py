"""Options that take a list: names or values with commas between, and as often as one likes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

import click
from click.shell_completion import CompletionItem

from solids.base.parsing import parts_of

Command = TypeVar("Command", bound=Callable[..., Any])


def list_option(
    option: str, name: str, example: str, words: str, values: Sequence[str] = (), default: str = "", of: str = "NAME"
) -> Callable[[Command], Command]:
    """An option whose values come with commas between, or in several options of that name; `of` is what one value is
    called. The command is handed one text, "a,b,c", or the default. The help ends with the values, where they can all
    be named, else with an example."""

    def joined(_context: click.Context, _parameter: click.Parameter, given: tuple[str, ...]) -> str:
        return ",".join(part for text in given for part in parts_of(option, text, example)) if given else default

    def complete(_context: click.Context, _parameter: click.Parameter, typed: str) -> list[CompletionItem]:
        before, comma, last = typed.rpartition(",")
        return [CompletionItem(f"{before}{comma}{value}") for value in values if value.startswith(last)]

    many = ", ".join(values) if values else f"as in {example}"
    return click.option(
        option,
        name,
        metavar=f"{of},...",
        multiple=True,
        callback=joined,
        shell_complete=complete,
        help=f"{words}: {many}. Commas between; may be repeated.",
    )
