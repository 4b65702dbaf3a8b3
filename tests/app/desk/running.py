"""The bench as a process of its own: `halfpin bench` itself, or with stand-ins for what proves and makes."""

from __future__ import annotations

import http.client
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager

GENEROUS = 60.0
"""A machine that does other things too takes longer (s)."""

RUN = """
import signal
signal.signal(signal.SIGINT, signal.default_int_handler)
from solids.app.cli import main
main()
"""
"""The command itself. Ctrl-C is heard although whoever runs the tests may have it switched off."""

PROVES_NOTHING = """
import solids.app.desk.hands, tests.app.desk.stand_ins
solids.app.desk.hands.hands_of = tests.app.desk.stand_ins.hands_of
"""


BOUND = ("setpriv", "--bounding-set=-dac_override,-dac_read_search")
"""Starts a program for which the rights of files hold, even where the system's administrator runs it (util-linux)."""

is_administrator = os.name != "nt" and os.geteuid() == 0
rights_cannot_bind = os.name == "nt" or (is_administrator and shutil.which(BOUND[0]) is None)
"""Whether there is no way to have a file refused by its rights."""


class Bench:
    """A bench that runs."""

    def __init__(
        self, *arguments: str, proves: bool = False, bound: bool = False, before: str = "", **environment: str
    ) -> None:
        self._own = tempfile.TemporaryDirectory(ignore_cleanup_errors=True)  # what is known of proofs, for this one
        env = {**os.environ, "XDG_CACHE_HOME": self._own.name, **environment}
        env.pop("DISPLAY", None)
        env.pop("WAYLAND_DISPLAY", None)
        command = [sys.executable, "-c", before + ("" if proves else PROVES_NOTHING) + RUN, "bench", *arguments]
        if bound and is_administrator:
            command = [*BOUND, *command]
        self.run = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=env)
        assert self.run.stderr
        line = self.run.stderr.readline()
        found = re.fullmatch(r"Open http://127\.0\.0\.1:(\d+)(/[\w-]{32}/)(\S*) in a browser .*\n", line)
        assert found, line + self.run.stderr.read()
        self.port, self.start, self.hash = int(found[1]), found[2], found[3]

    @property
    def address(self) -> str:
        """Of its page."""
        return f"http://127.0.0.1:{self.port}{self.start}"

    def ask(self, path: str, body: object = None) -> tuple[int, bytes]:
        there = http.client.HTTPConnection("127.0.0.1", self.port, timeout=GENEROUS)
        there.request("GET" if body is None else "POST", self.start + path, None if body is None else json.dumps(body))
        answer = there.getresponse()
        found = answer.status, answer.read()
        there.close()
        return found

    def end(self, number: int) -> tuple[int, str]:
        """Its exit code, and what it said, after a signal."""
        self.run.send_signal(number)
        assert self.run.stdout
        assert self.run.stderr
        # `communicate` would miss what the first line read ahead.
        err, out = self.run.stderr.read(), self.run.stdout.read()
        self.run.wait(GENEROUS)
        assert "Traceback" not in out + err
        return self.run.returncode, err

    def kill(self) -> None:
        """Ends it at once."""
        self.run.kill()
        self.run.communicate()
        self._own.cleanup()

    def below(self) -> list[int]:
        """The processes that it has started (Linux)."""
        found = subprocess.run(["pgrep", "-P", str(self.run.pid)], capture_output=True, text=True, check=False)
        return [int(number) for number in found.stdout.split()]


@contextmanager
def bench(
    *arguments: str, proves: bool = False, bound: bool = False, before: str = "", **environment: str
) -> Iterator[Bench]:
    """A bench on a folder; where it `proves`, with the kernel behind it; where it is `bound`, no administrator's.
    `before` is Python that is run first."""
    there = Bench(*arguments, proves=proves, bound=bound, before=before, **environment)
    try:
        yield there
    finally:
        there.kill()
