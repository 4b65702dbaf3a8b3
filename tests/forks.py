"""Processes forked from an interpreter that has loaded everything once, for runs of the command by the hundred.

Each is a process of its own: streams, folder, environment, signals and exit code are real, and nothing that one does is
there for the next. What it saves is the second in which Python, the kernel and the libraries load. What Python settles
when it starts cannot be had this way: the order of hashes, the encoding of streams, what is loaded at all. Tests of
those start a fresh interpreter.
"""

from __future__ import annotations

import gc
import importlib
import json
import os
import pkgutil
import signal
import socket
import struct
import subprocess
import sys
import time
from collections.abc import Mapping
from contextlib import suppress
from functools import cache
from pathlib import Path
from threading import Thread
from types import ModuleType, TracebackType
from typing import IO, Any

LIBRARIES = (
    *("fontTools.ttLib", "jinja2", "lib3mf", "manifold3d", "numpy", "pebble"),
    *("pydantic.type_adapter", "reportlab.pdfgen.canvas", "rich.console", "rich.table"),
)
SERVE = "from tests.forks import serve\nserve()"
NUMBER = struct.Struct("i")

# --- the preloaded interpreter ---------------------------------------------------------------------


def serve() -> None:
    """Forks at each request, until the process that started it ends."""
    asked = socket.socket(fileno=int(sys.argv[1]))
    load_everything()
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # nobody waits for the waiting processes
    while True:
        more, numbers, _, _ = socket.recv_fds(asked, 1, 1)
        if not more:
            return
        answer = socket.socket(fileno=numbers[0])
        if not os.fork():
            asked.close()
            wait_for_one(answer)
            return
        answer.close()


def load_everything() -> None:
    """All of ours and what it loads only when it is used, but for VTK, which few use."""
    for name in LIBRARIES:
        importlib.import_module(name)
    solids = importlib.import_module("solids")
    for found in pkgutil.walk_packages(solids.__path__, "solids."):
        importlib.import_module(found.name)
    gc.collect()
    gc.freeze()


def wait_for_one(answer: socket.socket) -> None:
    """Forks the process that was asked for, and tells its number, then its exit code. One process could do this for all
    by the signal that a child has ended, were that not lost where a library has threads."""
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    _, streams, _, _ = socket.recv_fds(answer, 1, 3)
    with answer.makefile("r", encoding="utf-8") as lines:
        request = json.loads(lines.readline())
    number = os.fork()
    if not number:
        answer.close()
        become(streams, **request)
        return
    for stream in streams:
        os.close(stream)
    answer.sendall(NUMBER.pack(number))
    _, status = os.waitpid(number, 0)
    with suppress(BrokenPipeError):  # who asked may be gone
        answer.sendall(NUMBER.pack(os.waitstatus_to_exitcode(status)))
    os._exit(0)


def become(streams: list[int], script: str, arguments: list[str], cwd: str, environment: dict[str, str]) -> None:
    """Makes this process what `python -c SCRIPT ARGUMENTS` is after all its imports, and runs the script."""
    for target, stream in enumerate(streams):
        os.dup2(stream, target)
        os.close(stream)
    for number, name, mode, buffering in ((0, "stdin", "r", -1), (1, "stdout", "w", -1), (2, "stderr", "w", 1)):
        old = getattr(sys, name)
        new = os.fdopen(number, mode, buffering, encoding=old.encoding, errors=old.errors, closefd=False)
        setattr(sys, name, new)
        setattr(sys, f"__{name}__", new)
    os.environ.clear()
    os.environ.update(environment)
    time.tzset()
    os.chdir(cwd)
    sys.argv = ["-c", *arguments]
    main = sys.modules["__main__"] = ModuleType("__main__")
    exec(compile(script, "<string>", "exec"), main.__dict__)


# --- who asks for forks ----------------------------------------------------------------------------


@cache
def nursery() -> tuple[socket.socket, subprocess.Popen[bytes]]:
    """The line to the preloaded interpreter, started when it is first needed, and that itself."""
    ours, theirs = socket.socketpair()
    server = subprocess.Popen(
        [sys.executable, "-c", SERVE, str(theirs.fileno())],
        pass_fds=[theirs.fileno()],
        stdin=subprocess.DEVNULL,
        cwd=Path(__file__).parents[1],
    )
    theirs.close()
    return ours, server


def close_nursery() -> None:
    """Ends the preloaded interpreter, if it was started, so that what it measured of coverage is there to be told."""
    if nursery.cache_info().currsize:
        line, server = nursery()
        line.close()
        server.wait()
        nursery.cache_clear()


class Forked:
    """A forked process, with as much of the face of `subprocess.Popen` as tests use; its streams are text in UTF-8."""

    def __init__(
        self,
        script: str,
        *arguments: str,
        cwd: Path | None = None,
        env: Mapping[str, str] | None = None,
        stdout: int | IO[Any] = subprocess.PIPE,
        stderr: int | IO[Any] = subprocess.PIPE,
    ) -> None:
        self.args = ["-c", script, *arguments]
        self.returncode: int | None = None
        self.stdout, out = _stream(stdout)
        self.stderr, err = _stream(stderr)
        request = {
            "script": script,
            "arguments": arguments,
            "cwd": str(cwd or Path.cwd()),
            "environment": dict(os.environ if env is None else env),
        }
        self._answer, theirs = socket.socketpair()
        socket.send_fds(nursery()[0], [b"+"], [theirs.fileno()])
        theirs.close()
        socket.send_fds(self._answer, [b"+"], [0, out, err])
        self._answer.sendall(json.dumps(request).encode() + b"\n")
        self.pid = self._told()
        for end, given in ((out, stdout), (err, stderr)):
            if given == subprocess.PIPE:
                os.close(end)

    def _told(self) -> int:
        data = self._answer.recv(NUMBER.size)
        assert data, "the preloaded interpreter has ended"
        number: int = NUMBER.unpack(data)[0]
        return number

    def poll(self) -> int | None:
        try:
            return self.wait(0)
        except subprocess.TimeoutExpired:
            return None

    def wait(self, timeout: float | None = None) -> int:
        """Its exit code. Timeout in s."""
        if self.returncode is None:
            self._answer.settimeout(timeout)
            try:
                self.returncode = self._told()
            except (TimeoutError, BlockingIOError):
                raise subprocess.TimeoutExpired(self.args, timeout or 0) from None
        return self.returncode

    def send_signal(self, number: int) -> None:
        if self.poll() is None:
            os.kill(self.pid, number)

    def kill(self) -> None:
        self.send_signal(signal.SIGKILL)

    def communicate(self, timeout: float | None = None) -> tuple[str, str]:
        """All it says until it ends; it is killed where that takes longer than the timeout in s."""
        said = {}

        def read(name: str, stream: IO[str]) -> None:
            said[name] = stream.read()

        piped = [(name, stream) for name in ("stdout", "stderr") if (stream := getattr(self, name))]
        readers = [Thread(target=read, args=each, daemon=True) for each in piped]
        for reader in readers:
            reader.start()
        try:
            self.wait(timeout)
        finally:
            self.kill()
            self.wait()
            for reader in readers:
                reader.join(timeout)
            self.close()
        return said.get("stdout", ""), said.get("stderr", "")

    def close(self) -> None:
        for stream in (self.stdout, self.stderr):
            if stream:
                stream.close()
        self._answer.close()

    def __enter__(self) -> Forked:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.wait()
        self.close()


def _stream(given: int | IO[Any]) -> tuple[IO[str] | None, int]:
    """Our end and theirs."""
    if given == subprocess.PIPE:
        ours, theirs = os.pipe()
        return open(ours, encoding="utf-8"), theirs
    return None, given if isinstance(given, int) else given.fileno()
