"""The command `halfpin`: its subcommands in `commands`, the way it ends in `way_out`, its exit codes in `exits`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from solids.app.cli.commands.group import cli

__all__ = ["cli", "main"]


def main() -> None:
    """The entry point of the process. Ctrl-C also works while the commands load."""
    try:
        from solids.app.cli.commands.group import cli
        from solids.app.cli.steps.way_out import leave
        from solids.app.cli.steps.way_out import main as run

        try:
            run(cli)
        except SystemExit as end:
            leave(end)
    except KeyboardInterrupt:
        from solids.app.exits import STOPPED

        raise SystemExit(STOPPED) from None


def __getattr__(name: str) -> Any:
    if name == "cli":
        from solids.app.cli.commands.group import cli

        return cli
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
