"""How a command ends: every outcome becomes an exit code and at most one message, and no traceback reaches a user.

Exit 0 good, 1 the joint fails its proof, 2 bad input or a file that cannot be read or written, 3 a fault of ours.
"""

from __future__ import annotations

import atexit
import gc
import io
import os
import signal
import sys
import threading
from contextlib import suppress
from typing import NoReturn

import click

from solids.app.cli.steps.exits import BAD_INPUT, GOOD, SIGNALLED, STOPPED, explained
from solids.app.terminal import say
from solids.base.signals import WAITING_SIGNALS


class Terminated(BaseException):
    """The process was asked to end, by SIGTERM or by its terminal going away: tidy up and go. Its number is kept
    here, as a library on the way may put words of its own into the exception."""

    number = int(signal.SIGTERM)


def main(cli: click.Command) -> None:
    """Runs a command and turns every outcome into an exit code, as SystemExit, with no traceback."""
    _start_light()
    _open_closed_streams()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A letter that it cannot show stands there by its number, as in \u5c0f: titles can still be told apart.
            stream.reconfigure(errors="backslashreplace")
    for number in set(WAITING_SIGNALS) - {signal.SIGINT}:
        signal.signal(number, _terminate)
    code = _run(cli)
    # What is left is to hand on what was said. A signal now ends that, without a traceback.
    for number in WAITING_SIGNALS:
        signal.signal(number, signal.SIG_DFL)
    try:
        _flush()
    except OSError:
        # Whoever read us has gone, or the disk is full; leave nothing for Python to flush at exit.
        for stream in (sys.stdout, sys.stderr):
            with suppress(OSError, ValueError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
        code = code or BAD_INPUT
    sys.exit(code)


def leave(end: SystemExit) -> NoReturn:
    """Ends the process with an exit code, once what was registered for its end is done and all that was said is handed
    on. The rest of Python's own way out frees object by object what goes with the process: some thousandths of a second
    for `--help`, a thirtieth of a build. It is taken all the same where a thread still works or the run is watched, as
    a debugger, a profiler and coverage do."""
    if threading.active_count() > 1 or sys.gettrace() or sys.getprofile():
        raise end
    atexit._run_exitfuncs()
    with suppress(OSError):
        _flush()
    os._exit(int(end.code or GOOD))


def _flush() -> None:
    sys.stdout.flush()
    sys.stderr.flush()


def _start_light() -> None:
    """What would cost time at each start and gives a single command nothing."""
    # Nearly all that is made while modules load stays; looking for garbage at every 700th object finds none.
    gc.set_threshold(50_000, 20, 100)
    # Our matrices are three by three. Threads for larger ones take a tenth of a proof.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # Else pydantic looks through every installed package for plugins, and runs those that it finds.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")


def _open_closed_streams() -> None:
    """A caller may have closed our output; what goes there then goes nowhere."""
    if sys.stdout is None:
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115  lives as long as the process
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115


def _terminate(number: int, _frame: object) -> None:
    Terminated.number = number
    raise Terminated


def _run(cli: click.Command) -> int:
    try:
        return int(cli.main(prog_name="halfpin", standalone_mode=False) or GOOD)
    except (click.Abort, KeyboardInterrupt):
        _say("Stopped. The output folder holds its old files or its new ones, whole.")
        return STOPPED
    except Terminated:
        return SIGNALLED + Terminated.number
    except click.ClickException as err:
        told = io.StringIO()
        err.show(file=told)  # it names what was typed as it was typed
        _say(*told.getvalue().splitlines())
        return BAD_INPUT
    except SystemExit:
        # Only what prints ends a run this way, when whoever read us has gone.
        return BAD_INPUT
    except Exception as err:
        return _explain(err)


def _explain(err: Exception) -> int:
    """Says what went wrong on stderr and gives the exit code for it."""
    code, lines = explained(err)
    _say(*lines)
    return code


def _say(*lines: str) -> None:
    """Lines for people, on stderr."""
    with suppress(OSError):
        for line in lines:
            say(line, err=True)
