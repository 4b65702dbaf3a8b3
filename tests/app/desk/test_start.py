"""The bench as a process of its own: a port, a page, a folder, and the way out. What proves and makes is left out."""

from __future__ import annotations

import json
import os
import re
import signal
import socket
import sys
import time
from pathlib import Path

import pytest

from solids.app.desk.serving.start import OWN_FOLDER, folder_of, held_port
from solids.base.errors import FileError
from tests.app.desk.running import GENEROUS, bench
from tests.app.desk.stand_ins import TRAY, tray, waited
from tests.commands import refused


def test_it_serves_a_folder_saves_all_and_stops_clean(tmp_path: Path) -> None:
    file = tray(tmp_path)
    with bench(str(tmp_path)) as there:
        assert there.ask("api/shelf")[0] == 200
        changed = there.ask("api/piece/tool-tray/set", {"changes": {"joint.tails": "5"}, "live": True})
        assert changed[0] == 200
        news = socket.create_connection(("127.0.0.1", there.port), timeout=GENEROUS)
        news.sendall(f"GET {there.start}api/events HTTP/1.1\r\nHost: 127.0.0.1:{there.port}\r\n\r\n".encode())
        assert b"text/event-stream" in news.recv(4096)
        begun = time.monotonic()
        code, said = there.end(signal.SIGINT)
        assert time.monotonic() - begun < 10, "a page that listens does not hold it up"
        assert code == 0, said
        assert "Every change is on disk" in said
        news.close()
    assert "tails = 5" in file.read_text()


def test_a_recipe_that_is_named_is_opened_and_a_kill_loses_nothing_that_rests(tmp_path: Path) -> None:
    file = tray(tmp_path, "my tray")
    with bench(str(file), "--no-open") as there:
        assert there.hash == "#/piece/my%20tray"
        there.ask("api/piece/my%20tray/set", {"changes": {"joint.tails": "5"}})
        there.run.kill()
        there.run.wait()
    assert file.read_text() == TRAY.replace("tails = 4", "tails = 5")
    with bench(str(tmp_path), "--port", str(there.port)) as again:
        assert again.port == there.port
        assert again.start != there.start, "each sitting has a key of its own"
        assert b'"tails":5' in again.ask("api/piece/my%20tray")[1]
        assert "--port" in refused("bench", str(tmp_path), "--port", str(there.port))


def test_without_an_argument_it_takes_a_folder_in_the_makers_documents(tmp_path: Path) -> None:
    config = tmp_path / "config"
    config.mkdir()
    (config / "user-dirs.dirs").write_text(f'XDG_DOCUMENTS_DIR="{tmp_path}/papers"\n')
    with bench(HOME=str(tmp_path), XDG_CONFIG_HOME=str(config), XDG_DOCUMENTS_DIR=str(tmp_path / "papers")) as there:
        shelf = json.loads(there.ask("api/shelf")[1])
        assert shelf["folder"] == str(tmp_path / "papers" / OWN_FOLDER)
        assert (tmp_path / "papers" / OWN_FOLDER).is_dir()
        code, said = there.end(signal.SIGTERM)
    assert code in (-signal.SIGTERM, 128 + signal.SIGTERM)
    assert "no screen here" in said


def test_what_is_neither_folder_nor_recipe_is_refused_in_words(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("x")
    (tmp_path / "link.toml").symlink_to(tmp_path / "nowhere")
    os.mkfifo(tmp_path / "pipe.toml")
    for name, words in (
        ("none", "does not exist"),
        ("notes.txt", "neither a folder nor a recipe"),
        ("link.toml", "neither"),
        ("pipe.toml", "neither"),
    ):
        with pytest.raises(FileError, match=words):
            folder_of(tmp_path / name)
    assert "does not exist" in refused("bench", str(tmp_path / "none"))
    large, foreign = tmp_path / "large.toml", tmp_path / "foreign.toml"
    with large.open("wb") as handle:
        handle.truncate(200_000_000)
    foreign.write_bytes(b"\xff\xfe")
    for file, words in ((large, "far more than a recipe"), (foreign, "not UTF-8 text")):
        (line,) = refused("bench", str(file), "--no-open").splitlines()
        assert words in line, "and nothing had begun that could be stopped"


def test_small_parts_of_an_answer_are_sent_at_once() -> None:
    """asyncio asks for it (`TCP_NODELAY`) only on a socket that names its protocol; else each answer takes 40 ms."""
    with held_port(0) as held:
        assert (held.proto, held.getsockname()[0]) == (socket.IPPROTO_TCP, "127.0.0.1")


def test_it_loads_no_kernel(tmp_path: Path) -> None:
    """The first page, by the file that the process has of itself: nothing of the kernel is mapped into it."""
    tray(tmp_path)
    with bench(str(tmp_path)) as there:
        assert there.ask("api/shelf")[0] == 200
        there.ask("api/piece/tool-tray/set", {"changes": {"joint.tails": "5"}})
        there.ask("api/picture/tool-tray")
        if sys.platform == "linux":
            mapped = Path(f"/proc/{there.run.pid}/maps").read_text()
            assert not re.search(r"OCP|TKernel|manifold|vtk", mapped)
            assert "pydantic_core" in mapped, "what is loaded is seen at all"


def test_it_holds_out_against_clients_that_say_nonsense(tmp_path: Path) -> None:
    tray(tmp_path)
    with bench(str(tmp_path)) as there:
        for nonsense in (
            b"\x16\x03\x01\x02\x00",
            b"GET\r\n\r\n",
            b"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n",
            b"GET / HTTP/1.1\r\n" + b"X: " + b"y" * 100_000 + b"\r\n\r\n",
        ):
            with socket.create_connection(("127.0.0.1", there.port), timeout=GENEROUS) as one:
                one.sendall(nonsense)
                one.shutdown(socket.SHUT_WR)
                said = one.recv(65536)
                assert b"Traceback" not in said
                assert b" 200 " not in said
        waited(lambda: there.ask("api/shelf")[0] == 200)
        assert there.end(signal.SIGINT)[0] == 0
