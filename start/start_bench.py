"""Makes the environment of Halfpin on the first start, and opens the bench.

The scripts beside it find a Python and run this, with nothing but what comes with Python. The environment is `.venv` in
the folder above. A file in it tells how far it has come, so that one which was left half made is made anew.
"""

from __future__ import annotations  # so that an old Python gets as far as the words about its age

import importlib.util
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path

OLDEST = (3, 11)

HOME = Path(__file__).resolve().parent.parent
PLACE = HOME / ".venv"
STATE = PLACE / "halfpin-state"
"""Holds "making", then "unchecked" and at last "ready", each of the two with what it was made from. An environment that
somebody made by hand has no such file, and is left as it is."""

LOCK = HOME / ".venv-lock"
PYTHON = PLACE / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")

TOO_OLD = """Halfpin needs Python {}.{} or later, and this is {}.{}.
Install a newer one from your system's packages, or from python.org, and start again."""

NO_PARTS = """Python is here, but not its parts for environments (venv and ensurepip).
On Debian and Ubuntu: sudo apt install python3-venv
Then start again."""

NOT_FETCHED = """The libraries could not be put in place; the reason stands above. Mostly it is the network, or a full
disk (about 2 GB are needed). Start again once that is mended: the environment is then made anew."""

NO_KERNEL = """The geometry kernel does not start; its own words stand above.
On Debian and Ubuntu it needs two libraries of the system: sudo apt install libgl1 libx11-6
Then start again."""

NOT_OURS = f"""The folder {PLACE} holds an environment that does not run Halfpin, and that was not made here.
Move it away, and start again."""


def main() -> None:
    """Makes what is missing, then becomes the bench; what is asked for goes on to it."""
    if sys.version_info < OLDEST:
        sys.exit(TOO_OLD.format(*OLDEST, *sys.version_info))
    with held():
        see_to_environment()
    command = [str(PYTHON), "-P", "-m", "solids", "bench", *sys.argv[1:]]
    if sys.platform != "win32":
        os.execv(PYTHON, command)
    process = subprocess.Popen(command)
    while True:
        try:
            sys.exit(process.wait())
        except KeyboardInterrupt:  # the bench hears it too, and ends
            continue


@contextmanager
def held() -> Iterator[None]:
    """Nobody else makes the environment meanwhile. Whoever comes second waits."""
    with LOCK.open("a+b") as file:
        is_told = False
        while not is_locked(file.fileno()):
            if not is_told:
                say("Another start is at work on the environment. This one waits for it.")
            is_told = True
            time.sleep(0.5)
        yield


def is_locked(file: int) -> bool:
    """Locks an open file until it is closed, if nobody else holds it; whether that went well."""
    try:
        if sys.platform == "win32":
            import msvcrt

            os.lseek(file, 0, os.SEEK_SET)
            msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def see_to_environment() -> None:
    """The environment is there, whole and of this version."""
    state, made_from = state_there(), sources()
    if PLACE.exists() and not state:
        if not runs("import solids.app.cli"):
            sys.exit(NOT_OURS)
        return
    if state in ("", "making") or not runs("import pip"):
        make()
        state = "unchecked"
    elif STATE.read_text() == f"ready {made_from}":
        return
    elif not STATE.read_text().endswith(made_from):
        say("Halfpin is newer than its environment, which is brought up to date.")
        if not installed():
            say("That did not work. The bench starts with what is there, and tries again the next time.")
            return
    STATE.write_text(f"unchecked {made_from}")
    if not runs("import OCP.gp", quiet=False):
        sys.exit(NO_KERNEL)
    STATE.write_text(f"ready {made_from}")


def state_there() -> str:
    """How far the environment has come; "" where there is none of ours. A file that is empty was being written as the
    machine went out: it says nothing of what is there."""
    return (STATE.read_text().split() or ["making"])[0] if STATE.is_file() else ""


def make() -> None:
    """Makes the environment, in place of one that is half made."""
    if not (importlib.util.find_spec("venv") and importlib.util.find_spec("ensurepip")):
        sys.exit(NO_PARTS)
    if PLACE.exists():
        say("The last start was not finished. The environment is made anew.")
        shutil.rmtree(PLACE)
    say("This is the first start. Halfpin fetches its libraries, about half a gigabyte, and puts them in place.")
    say("That takes some minutes. Leave this window open.")
    PLACE.mkdir()
    STATE.write_text("making")
    # Not in this process: an environment that is made from within another one would take that for its home.
    made = subprocess.run([sys.executable, "-I", "-m", "venv", str(PLACE)], check=False).returncode == 0
    if not made or not installed():
        sys.exit(NOT_FETCHED)


def installed() -> bool:
    """Puts Halfpin and its libraries into the environment, in the versions that it was tested with."""
    pip = [str(PYTHON), "-P", "-m", "pip", "install", "--disable-pip-version-check", "--no-input"]
    return subprocess.run([*pip, "-c", "constraints.txt", "-e", "."], cwd=HOME, check=False).returncode == 0


def runs(code: str, quiet: bool = True) -> bool:
    """Whether the environment runs some Python."""
    if not PYTHON.exists():
        return False
    return subprocess.run([str(PYTHON), "-P", "-c", code], check=False, capture_output=quiet).returncode == 0


def sources() -> str:
    """What an environment is made from, as a sum: if that differs, it is out of date."""
    return sha256(b"".join((HOME / name).read_bytes() for name in ("constraints.txt", "pyproject.toml"))).hexdigest()


def say(words: str) -> None:
    """A line for whoever looks on."""
    print(words, flush=True)


if __name__ == "__main__":
    try:
        main()
    except KeyboardInterrupt:
        sys.exit("Stopped. The next start goes on from here.")
    except OSError as err:
        sys.exit(f"{err.filename or HOME} cannot be read or written: {err.strerror}.")
