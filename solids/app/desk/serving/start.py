"""Starts the bench: a port of this machine, the server on it, the watch over the folder, and the browser."""

from __future__ import annotations

import asyncio
import gc
import os
import signal
import socket
import sys
import threading
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import AbstractAsyncContextManager, ExitStack, asynccontextmanager, contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import quote

import uvicorn
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.types import ASGIApp

from solids.app.desk.events import Events
from solids.app.desk.serving.connections import WAITING_LINE, Connection, look_after
from solids.app.desk.serving.lan import WARNING, Doors, Lan, code_rows
from solids.app.desk.serving.routes import application, guest_application
from solids.app.desk.serving.server import FOREIGN_GUEST, LOOPBACK, Guard, new_key
from solids.app.desk.shelf.folder import Shelf
from solids.app.desk.shelf.names import ENDING
from solids.app.terminal import draw_code
from solids.base.errors import FileError, InputError
from solids.base.signals import WAITING_SIGNALS
from solids.base.windows import why_not
from solids.recipe.completing.shop import NO_SHOP

if TYPE_CHECKING:
    from solids.app.desk.sitting import Sitting

TICK = 0.05
"""How often it is seen to what waits for the disk (s)."""

STEP_MS, LONGEST_MS, LOOK_MS = 50, 400, 1000
"""How long a folder must be quiet before changes in it are taken in, how long that is waited for, and after how long we
look by ourselves, for file systems that tell nothing (ms)."""

LONGEST_GOODBYE_S = 2
"""How long requests that are under way may take at the end."""

OWN_FOLDER = "Halfpin"
"""The folder in the maker's documents, where no other is named."""


def folder_of(given: Path | None) -> tuple[Path, str]:
    """The folder to serve and the recipe to open in it, "" for none, from what was named: a folder, a recipe, or
    nothing. FileError where it cannot be had."""
    if given is None:
        folder = _own_folder()
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as err:
            raise FileError(f"{folder} cannot be made: {why_not(err)}. Name another folder") from None
        return folder, ""
    if given.is_dir():
        return given, ""
    if not os.path.lexists(given):
        raise FileError(f"{given} does not exist; name a folder, or a recipe in one")
    if given.suffix != ENDING or not given.is_file():
        raise FileError(f"{given} is neither a folder nor a recipe; name one that ends in {ENDING}")
    return given.parent, given.stem


def _own_folder() -> Path:
    from platformdirs import user_documents_path

    return user_documents_path() / OWN_FOLDER


def serve(
    folder: Path,
    recipe: str,
    sitting_of: Callable[[Path], Sitting],
    port: int,
    say: Callable[[str], None],
    show: bool,
    lan: Lan | None = None,
) -> None:
    """Serves the page for a folder until Ctrl-C, with everything saved at the end. Port 0 means any free one, `show`
    opens the browser, and `lan` is where others see the bench. InputError if a port cannot be used, FileError if folder
    or recipe cannot be read."""
    shelf = Shelf(folder, NO_SHOP)
    shelf.names()
    if recipe:
        shelf.text_of(recipe)
    with ExitStack() as sockets:
        held = sockets.enter_context(held_port(port))
        outside = sockets.enter_context(held_port(port, lan.address)) if lan else None
        sitting = sitting_of(folder)
        try:
            number = held.getsockname()[1]
            key, ticket, begin = new_key(), new_key(), f"#/piece/{quote(recipe)}" if recipe else ""
            say(f"Open http://{LOOPBACK}:{number}/{key}/{begin} in a browser on this machine. Ctrl-C stops.")
            say(f"The recipes are in {sitting.shelf.folder}.")
            if show:
                _show(f"http://{LOOPBACK}:{number}/{ticket}{begin}", say)
            guard = Guard(application(sitting, while_it_runs(sitting)), key, number, ticket)
            doors: dict[tuple[str, int], ASGIApp] = {(LOOPBACK, number): guard}
            if lan and outside:
                doors[lan.address, outside.getsockname()[1]] = _guests(sitting, lan, outside.getsockname()[1], say)
            server = _Server(_settings(Doors(doors)), sitting.events)
            gc.freeze()  # what is loaded by now stays, and need not be looked through while a handle moves
            with _ended_in_order(server):
                server.run(sockets=[held, outside] if outside else [held])
        finally:
            sitting.close()
            lost = [f"The last changes are not on disk: {words}" for words in sitting.unsaved()]
            for words in lost or ["Stopped. Every change is on disk."]:
                say(words)


def _guests(sitting: Sitting, lan: Lan, port: int, say: Callable[[str], None]) -> Guard:
    """The guard for others in the local network, with a key of their own. Tells what that means."""
    key = new_key()
    address = sitting.at_bench.address = f"http://{lan.address}:{port}/{key}/"
    say(f"For a phone or tablet in the same network: {address}")
    for words in WARNING:
        say(words)
    if lan.others:
        say(f"If it is not found there, end the bench and try --lan-address with {' or '.join(lan.others)}.")
    draw_code(code_rows(address))
    return Guard(guest_application(sitting), key, port, names=[lan.address], foreign=FOREIGN_GUEST)


def held_port(number: int, address: str = LOOPBACK) -> socket.socket:
    """A socket that listens already, so that the address can be told before the server is ready."""
    # asyncio sends small parts of an answer at once (TCP_NODELAY) only where the protocol is named.
    held = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        if sys.platform != "win32":  # on Windows it would let another program take over the port
            held.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        held.bind((address, number))
        held.listen(WAITING_LINE)
    except (OSError, OverflowError) as err:
        held.close()
        where = "" if address == LOOPBACK else f" at {address}"
        raise InputError(f"--port {number} cannot be used{where}: {getattr(err, 'strerror', None) or err}") from None
    return held


def _settings(guard: ASGIApp) -> uvicorn.Config:
    """How the server runs: silent, as the terminal is the maker's, and over HTTP/1.1 alone."""
    return uvicorn.Config(
        guard,
        http=Connection,
        backlog=WAITING_LINE,
        ws="none",
        lifespan="on",
        log_config=None,
        log_level="critical",
        access_log=False,
        server_header=False,
        timeout_keep_alive=30,
        timeout_graceful_shutdown=LONGEST_GOODBYE_S,
    )


class _Server(uvicorn.Server):
    """The server, which ends the pages' streams of news before it waits for what is under way."""

    def __init__(self, config: uvicorn.Config, events: Events) -> None:
        super().__init__(config)
        self._events = events

    async def on_tick(self, counter: int) -> bool:
        """Looks after the connections, ten times a second; whether to end."""
        look_after(self.server_state.connections, asyncio.get_running_loop().time())
        return await super().on_tick(counter)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Ends."""
        self._events.close()
        await super().shutdown(sockets)


@contextmanager
def _ended_in_order(server: uvicorn.Server) -> Iterator[None]:
    """A signal ends the server in order, one too that comes before it is up. Then it means what it meant before."""
    came: list[int] = []

    def end(number: int, _frame: object) -> None:
        came.append(number)
        server.should_exit = True

    before = {number: signal.signal(number, end) for number in WAITING_SIGNALS}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
    if came and came[0] != signal.SIGINT:
        signal.raise_signal(came[0])


def _show(address: str, say: Callable[[str], None]) -> None:
    """Opens the browser, beside everything else: it may take its time."""
    if sys.platform not in ("win32", "darwin") and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        say("There is no screen here to open a browser on.")
        return
    import webbrowser

    threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()


def while_it_runs(sitting: Sitting) -> Callable[[Starlette], AbstractAsyncContextManager[None]]:
    """What begins and ends with the server: the watch over the folder, and over what waits for the disk."""

    @asynccontextmanager
    async def lifespan(_app: Starlette) -> AsyncIterator[None]:
        sitting.events.begin()
        tasks = [asyncio.create_task(work(sitting)) for work in (_tick, _watch)]
        try:
            yield
        finally:
            for task in tasks:
                task.cancel()
            await asyncio.gather(*tasks, return_exceptions=True)
            await run_in_threadpool(sitting.close)

    return lifespan


async def _tick(sitting: Sitting) -> None:
    while True:
        await asyncio.sleep(TICK)
        await run_in_threadpool(sitting.tick)


async def _watch(sitting: Sitting) -> None:
    """Takes in what happens in the folder. Where it is gone, waits for it to come back."""
    while True:
        with suppress(OSError, RuntimeError):
            await _watch_folder(sitting)
        await asyncio.sleep(LOOK_MS / 1000)
        await run_in_threadpool(sitting.look)


async def _watch_folder(sitting: Sitting) -> None:
    from watchfiles import awatch

    folder = sitting.shelf.folder
    there = folder.stat().st_ino
    watch = awatch(
        folder,
        watch_filter=None,
        step=STEP_MS,
        debounce=LONGEST_MS,
        rust_timeout=LOOK_MS,
        yield_on_timeout=True,
        recursive=False,
    )
    async for changes in watch:
        paths = [Path(path) for _, path in changes]
        names = {path.stem for path in paths if path.suffix == ENDING and not path.name.startswith(".")}
        if names or not changes:
            await run_in_threadpool(sitting.look, names or None)
        if names:
            sitting.events.tell({"event": "shelf"})
        elif folder.stat().st_ino != there:
            return
