"""A process of its own for work that takes the kernel: a fresh interpreter that is spoken to through its pipes. It
loads nothing into this process, and may be stopped at any moment."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import suppress
from typing import Any

SETTINGS = {"OPENBLAS_NUM_THREADS": "1", "PYDANTIC_DISABLE_PLUGINS": "__all__", "PYTHONUTF8": "1"}
"""What saves time in a process that proves one joint after another."""

PATIENCE = 5.0
"""How long a process that was asked to end may take to tidy up (s)."""


class HelperEndedError(Exception):
    """The process has ended in the middle of its work."""


class Helper:
    """One process, which begins to load the kernel at once."""

    def __init__(self) -> None:
        # -P: a file of the maker's own that is called as one of Python's must not be taken for it.
        self.process = subprocess.Popen(
            [sys.executable, "-P", "-m", "solids.app.desk.work.child"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, **SETTINGS},
            encoding="utf-8",
        )
        self._is_ready = False

    def ask(self, request: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
        """The lines of the answer to a request; the last has a `result`. HelperEndedError if the process ends first."""
        if not self._is_ready:
            self._line()  # the kernel has loaded
            self._is_ready = True
        try:
            self._pipe().write(json.dumps(request) + "\n")
            self._pipe().flush()
        except (OSError, ValueError):
            raise HelperEndedError from None
        while True:
            line = self._line()
            yield line
            if "result" in line:
                return

    def _pipe(self) -> Any:
        return self.process.stdin

    def _line(self) -> dict[str, Any]:
        output: Any = self.process.stdout
        try:
            text = output.readline()
            return dict(json.loads(text))
        except (OSError, ValueError):
            raise HelperEndedError from None

    def stop(self) -> None:
        """Asks the process to end, so that what it is writing is whole or gone; ends it where it does not."""
        with suppress(OSError):
            self.process.terminate()
        try:
            self.process.wait(PATIENCE)
        except subprocess.TimeoutExpired:
            self.kill()

    def kill(self) -> None:
        """Ends the process at once."""
        with suppress(OSError):
            self.process.kill()

    def close(self) -> None:
        """Ends the process and lets go of its pipes."""
        self.kill()
        self.process.wait()
        for pipe in (self.process.stdin, self.process.stdout):
            with suppress(OSError, ValueError):
                if pipe:
                    pipe.close()
