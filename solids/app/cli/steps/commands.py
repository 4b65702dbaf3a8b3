"""How the commands are listed, and what is said of one that is no more."""

from __future__ import annotations

import click

from solids.base.errors import InputError

FIRST = "bench"
"""Where somebody begins who is new here."""

GONE = {
    "watch": "`halfpin bench RECIPE` opens a page that shows the joint, proves each change and follows what you save",
}
"""Commands that there were, and what does their work now."""


class Commands(click.Group):
    """The group of all commands."""

    def list_commands(self, context: click.Context) -> list[str]:
        """Their names, in the order in which they are listed."""
        return sorted(super().list_commands(context), key=lambda name: (name != FIRST, name))

    def resolve_command(
        self, context: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that was typed. InputError for one that is gone; a shell that completes a line hears nothing."""
        if args[0] in GONE and not context.resilient_parsing:
            raise InputError(f"`halfpin {args[0]}` is gone; {GONE[args[0]]}")
        return super().resolve_command(context, args)
