"""The command `halfpin`. `commands` holds what it can do, `way_out` how it ends, `exits` the exit codes."""

from solids.cli.commands import cli
from solids.cli.way_out import main

__all__ = ["cli", "main"]
