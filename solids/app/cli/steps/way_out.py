"""How a command ends: every outcome becomes an exit code and at most one message, and no traceback reaches a user.

Exit codes: 0 good, 1 the joint fails its proof, 2 bad input or a file that cannot be read or written, 3 our fault.
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

from solids.app.exits import BAD_INPUT, GOOD, SIGNALLED, STOPPED, explained
from solids.app.terminal import say
from solids.base.signals import WAITING_SIGNALS


class Terminated(BaseException):
    """Raised when the process is asked to end, by SIGTERM or because its terminal closed. The number of the signal is
    kept on the class, as a library in between may change the arguments of the exception."""

    number = int(signal.SIGTERM)


def main(cli: click.Command) -> None:
    """Runs a command and turns every outcome into an exit code, as SystemExit, with no traceback."""
    _skip_slow_startup()
    _replace_closed_streams()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A character that it cannot show is written as its code, as in \u5c0f, so that titles still differ.
            stream.reconfigure(errors="backslashreplace")
    for number in set(WAITING_SIGNALS) - {signal.SIGINT}:
        signal.signal(number, _terminate)
    code = _run(cli)
    # Only flushing is left. A signal now ends the process at once, without a traceback.
    for number in WAITING_SIGNALS:
        signal.signal(number, signal.SIG_DFL)
    try:
        _flush()
    except OSError:
        # Our reader has gone, or the disk is full. Leave nothing for Python to flush at exit.
        for stream in (sys.stdout, sys.stderr):
            with suppress(OSError, ValueError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
        code = code or BAD_INPUT
    sys.exit(code)


def leave(end: SystemExit) -> NoReturn:
    """Runs the exit handlers, flushes all output, and ends the process with an exit code. It skips the rest of Python's
    shutdown, which frees objects one by one that the system frees anyway: some milliseconds for `--help`, a thirtieth
    of a build. Where a thread is still running, or a debugger, profiler or coverage tool is attached, Python shuts
    down as usual."""
    if threading.active_count() > 1 or sys.gettrace() or sys.getprofile():
        raise end
    atexit._run_exitfuncs()
    with suppress(OSError):
        _flush()
    os._exit(int(end.code or GOOD))


def _flush() -> None:
    sys.stdout.flush()
    sys.stderr.flush()


def _skip_slow_startup() -> None:
    """Turns off what slows each start and does nothing for a single command."""
    # Nearly all objects made while modules load are kept. A search for garbage at every 700th finds none.
    gc.set_threshold(50_000, 20, 100)
    # Our matrices are three by three. Starting threads for larger ones takes a tenth of a proof.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # Otherwise pydantic searches every installed package for plugins, and runs those it finds.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")


def _replace_closed_streams() -> None:
    """Sends output to the null device if the caller has closed stdout or stderr."""
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
        _say("Stopped. The output folder holds either all of its old files or all of its new ones.")
        return STOPPED
    except Terminated:
        return SIGNALLED + Terminated.number
    except click.ClickException as err:
        told = io.StringIO()
        err.show(file=told)  # it repeats what was typed, so it goes through `say`
        _say(*told.getvalue().splitlines())
        return BAD_INPUT
    except SystemExit:
        # Only printing ends a run this way, when our reader has gone.
        return BAD_INPUT
    except Exception as err:
        return _explain(err)


def _explain(err: Exception) -> int:
    """Prints what went wrong on stderr and returns the exit code for it."""
    code, lines = explained(err)
    _say(*lines)
    return code


def _say(*lines: str) -> None:
    """Prints lines for people on stderr."""
    with suppress(OSError):
        for line in lines:
            say(line, err=True)
