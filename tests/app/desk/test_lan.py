"""The bench in the local network: at which address, who gets in, what they reach, and what the terminal says of it."""

from __future__ import annotations

import asyncio
import http.client
import json
import re
import signal
import socket
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import psutil
import pytest
from starlette.testclient import TestClient

from solids.app.desk.at_bench import NOT_THERE, for_guests
from solids.app.desk.serving import lan
from solids.app.desk.serving.lan import WARNING, Doors, Lan, code_image, code_rows, lan_of, own_addresses
from solids.app.desk.serving.routes import application, guest_application
from solids.app.desk.serving.server import FOREIGN_GUEST, POLICY, Guard
from solids.app.desk.serving.start import while_it_runs
from solids.app.desk.sitting import Sitting
from solids.app.terminal import draw_code
from solids.base.errors import InputError
from tests.app.desk.running import GENEROUS, bench
from tests.app.desk.stand_ins import KEY, PORT, TRAY, sitting_in, tray, waited
from tests.app.desk.test_routes import trouble
from tests.commands import refused

HOME, GUEST_KEY, GUEST_PORT = "192.168.1.20", "the-key-of-guests", 4712
GUEST = f"http://{HOME}:{GUEST_PORT}/{GUEST_KEY}/"
OWN = f"http://127.0.0.1:{PORT}/{KEY}/"


# --- which address -----------------------------------------------------------------------------------


def machine(monkeypatch: pytest.MonkeyPatch, usual: str, *addresses: str, down: tuple[str, ...] = ()) -> None:
    """This machine with other addresses, each on an adapter of its own, and another usual way out."""
    every = ("127.0.0.1", "::1", *addresses, *down)
    listed = {
        f"net{n}": [SimpleNamespace(family=socket.AF_INET6 if ":" in one else socket.AF_INET, address=one)]
        for n, one in enumerate(every)
    }
    stats = {f"net{n}": SimpleNamespace(isup=one not in down) for n, one in enumerate(every)}
    monkeypatch.setattr(psutil, "net_if_addrs", lambda: listed)
    monkeypatch.setattr(psutil, "net_if_stats", lambda: stats)
    monkeypatch.setattr(lan, "_usual_address", lambda: usual)


def test_the_address_is_that_by_which_the_machine_reaches_its_network(monkeypatch: pytest.MonkeyPatch) -> None:
    machine(monkeypatch, HOME, "172.17.0.1", HOME, "fe80::1%eth0", down=("10.0.0.3",))
    assert lan_of(None) == Lan(HOME, ("172.17.0.1",))
    assert lan_of("172.17.0.1") == Lan("172.17.0.1")
    machine(monkeypatch, "", "10.42.0.1")
    assert lan_of(None) == Lan("10.42.0.1"), "a network without a way out of it"


@pytest.mark.parametrize(
    ("wanted", "usual", "addresses", "words"),
    [
        (None, "", (), "in no network"),
        (None, "", ("169.254.7.7", "fe80::1%eth0"), "in no network"),
        (None, "", ("fd00::2", "fe80::1%eth0"), "IPv6 addresses only"),
        (None, "8.8.8.8", ("8.8.8.8",), "open internet"),
        (None, "8.8.8.8", ("8.8.8.8", "fd00::2"), "open internet"),
        (None, "", (HOME, "10.0.0.3"), f"several networks; --lan-address takes one of {HOME}, 10.0.0.3"),
        ("8.8.8.8", HOME, (HOME, "8.8.8.8"), f"whole internet .* takes one of {HOME}"),
        ("10.9.9.9", HOME, (HOME,), f"no such address; --lan-address takes one of {HOME}"),
        ("fd00::2", HOME, (HOME, "fd00::2"), "IPv4"),
        ("127.0.0.1", HOME, (HOME,), "cannot reach"),
        ("nonsense\x1b[31m", HOME, (HOME,), "no such address"),
        ("", HOME, (HOME,), "no such address"),
    ],
)
def test_an_address_that_will_not_do_is_refused_with_what_would(
    monkeypatch: pytest.MonkeyPatch, wanted: str | None, usual: str, addresses: tuple[str, ...], words: str
) -> None:
    machine(monkeypatch, usual, *addresses)
    with pytest.raises(InputError, match=words):
        lan_of(wanted)


def test_the_system_itself_tells_the_addresses() -> None:
    assert "127.0.0.1" in own_addresses()
    assert lan._usual_address() in ("", *own_addresses())


# --- who gets in, and what they reach ------------------------------------------------------------------


@contextmanager
def both(folder: Path, sitting: Sitting | None = None) -> Iterator[tuple[TestClient, TestClient]]:
    """The maker's own page, and that of a guest, of one server with two doors."""
    sitting = sitting or sitting_in(folder)
    own = Guard(application(sitting, while_it_runs(sitting)), KEY, PORT)
    guests = Guard(guest_application(sitting), GUEST_KEY, GUEST_PORT, names=[HOME], foreign=FOREIGN_GUEST)
    doors = Doors({("127.0.0.1", PORT): own, (HOME, GUEST_PORT): guests})
    with TestClient(doors, base_url=OWN) as maker:
        yield maker, TestClient(doors, base_url=GUEST)


def test_a_guest_sees_the_pieces_and_ticks_and_the_maker_sees_the_ticks(tmp_path: Path) -> None:
    tray(tmp_path)
    with both(tmp_path) as (maker, guest):
        assert "web/guest.js" in guest.get("").text
        assert guest.get("web/at-bench.js").status_code == 200
        (piece,) = guest.get("api/bench").json()
        assert (piece["name"], piece["title"]) == ("tool-tray", "tool tray")
        assert guest.get(piece["picture"]).headers["content-type"] == "image/svg+xml"
        step = guest.get("api/bench/tool-tray").json()["work"]["stages"][0]["steps"][0]
        said = {"step": step["step"], "words": step["how"], "done": True}
        answer = guest.post("api/bench/tool-tray/tick", json=said, headers={"Origin": f"http://{HOME}:{GUEST_PORT}"})
        assert answer.status_code == 200
        assert answer.headers["content-security-policy"] == POLICY
        assert maker.get("api/bench/tool-tray").json()["work"]["stages"][0]["steps"][0]["ticked"] is True


CLOSED = (
    ("GET", "api/shelf"),
    ("GET", "api/controls"),
    ("GET", "api/piece/tool-tray"),
    ("GET", "api/model/tool-tray/1"),
    ("GET", "api/shelf/hand-out/tool-tray"),
    ("GET", "api/made/tool-tray"),
    ("GET", "api/made/tool-tray.zip"),
    ("GET", "api/made/tool-tray/booklet.pdf"),
    ("GET", "api/phone/tool-tray"),
    ("GET", "api/shop"),
    ("POST", "api/piece/tool-tray/set"),
    ("POST", "api/piece/tool-tray/move"),
    ("POST", "api/piece/tool-tray/undo"),
    ("POST", "api/piece/tool-tray/redo"),
    ("POST", "api/make/tool-tray"),
    ("POST", "api/make/stop"),
    ("POST", "api/shop/set"),
    ("GET", "api/end"),
    ("POST", "api/end"),
    *(("POST", f"api/shelf/{what}") for what in ("new", "measured", "copy", "rename", "away", "back", "take-in")),
)


@pytest.mark.parametrize(("method", "path"), CLOSED)
def test_the_key_of_a_guest_opens_nothing_else(tmp_path: Path, method: str, path: str) -> None:
    file = tray(tmp_path)
    body = {"changes": {"joint.tails": "5"}, "name": "tool-tray", "title": "x", "preset": "tool-tray", "wanted": ["a"]}
    with both(tmp_path) as (_, guest):
        answer = guest.request(method, path, json=body if method == "POST" else None)
        assert answer.status_code == 404, answer.text
        assert str(tmp_path) not in answer.text
    assert file.read_text() == TRAY
    assert sorted(path.name for path in tmp_path.iterdir()) == ["tool-tray.toml"]


def test_a_guest_gets_no_more_than_the_bench_has_addresses(tmp_path: Path) -> None:
    """So that what is added to the maker's page later is not open to guests by itself."""
    paths = {route.path for route in guest_application(sitting_in(tmp_path)).routes}  # type: ignore[attr-defined]
    assert paths == {
        "/",
        "/web/{name}",
        "/api/bench",
        "/api/bench/{name}",
        "/api/bench/{name}/tick",
        "/api/bench/{name}/again",
        "/api/bench/{name}/back",
        "/api/picture/{name}",
        "/api/events",
    }


def test_neither_key_opens_the_other_door(tmp_path: Path) -> None:
    tray(tmp_path)
    with both(tmp_path) as (maker, guest):
        for address in (
            f"http://{HOME}:{GUEST_PORT}/{KEY}/api/bench",
            f"http://127.0.0.1:{PORT}/{GUEST_KEY}/api/bench",
            f"http://{HOME}:{GUEST_PORT}/api/bench",
        ):
            assert "no key of the sitting" in trouble(guest.get(address), 403)
        for host in ("127.0.0.1", f"127.0.0.1:{PORT}", HOME, f"{HOME}:80", f"evil.example:{GUEST_PORT}", "localhost"):
            assert trouble(guest.get("api/bench", headers={"Host": host}), 403) == FOREIGN_GUEST
        for origin in ("http://evil.example", f"http://127.0.0.1:{PORT}", f"https://{HOME}:{GUEST_PORT}", "null"):
            trouble(guest.post("api/bench/tool-tray/again", json={}, headers={"Origin": origin}), 403)
        assert trouble(maker.get("api/bench", headers={"Host": f"{HOME}:{GUEST_PORT}"}), 403)


def test_what_comes_in_by_no_door_is_not_answered() -> None:
    answered: list[Any] = []

    async def app(*_: Any) -> None:
        answered.append(1)

    doors = Doors({("127.0.0.1", 1): app})
    for server in (("127.0.0.1", 2), ("10.0.0.1", 1), None):
        asyncio.run(doors({"type": "http", "server": server}, None, None))  # type: ignore[arg-type]
    assert answered == []
    asyncio.run(doors({"type": "http", "server": ("127.0.0.1", 1)}, None, None))  # type: ignore[arg-type]
    assert answered == [1]


def test_no_path_of_this_machine_reaches_a_guest(tmp_path: Path) -> None:
    tray(tmp_path)
    (tmp_path / "broken.toml").write_bytes(b"\xff")
    (tmp_path / "odd.toml").write_text('title = "odd"\n[joint]\nwidth = 0\n')
    (tmp_path / "ticks").mkdir()
    (tmp_path / "ticks" / "odd.json").write_text("no")
    with both(tmp_path) as (maker, guest):
        assert str(tmp_path) in maker.get("api/shelf").text, "the maker's own page does tell it"
        for path in (
            "api/bench",
            *(f"api/bench/{name}" for name in ("tool-tray", "broken", "none", "odd", "..%2Fx")),
            "api/picture/none",
            "api/picture/broken",
            "web/none.js",
            "api/nothing",
        ):
            assert str(tmp_path) not in guest.get(path).text, path
        assert trouble(guest.get("api/bench/none"), 400) == NOT_THERE
        changed = guest.post("api/bench/tool-tray/tick", json={"step": "x", "words": "y", "done": True})
        assert "read it again" in trouble(changed, 400), "what the guest can mend is told"


def test_guests_hear_that_something_has_changed_and_no_more(tmp_path: Path) -> None:
    tray(tmp_path)
    sitting = sitting_in(tmp_path)
    heard: list[dict[str, Any]] = []

    async def listens() -> None:
        sitting.events.begin()
        stream = sitting.events.stream(told=for_guests)
        await anext(stream)
        waiting = asyncio.ensure_future(anext(stream))
        await asyncio.sleep(0)
        for event in (
            {"event": "trouble", "words": f"{tmp_path}/tool-tray.toml is gone", "name": "tool-tray"},
            {"event": "making", "done": 1},
            {"event": "state", "name": "tool-tray", "version": 3, "words": str(tmp_path)},
        ):
            sitting.events.tell(event)
        heard.append(json.loads((await waiting).decode().removeprefix("data: ")))
        await stream.aclose()  # type: ignore[attr-defined]

    asyncio.run(listens())
    assert heard == [{"event": "state", "name": "tool-tray"}]


# --- the command -----------------------------------------------------------------------------------


def network() -> str:
    """The address that `--lan` would take on this machine, or a test that is skipped with the reason."""
    try:
        return lan_of(None).address
    except InputError as err:
        pytest.skip(f"this machine cannot offer anything in a network: {err}")


def test_the_command_offers_it_says_what_that_means_and_ends_it(tmp_path: Path) -> None:
    address = network()
    tray(tmp_path)
    with bench(str(tmp_path), "--lan", "--no-open") as there:
        assert there.run.stderr
        lines = [there.run.stderr.readline().rstrip("\n") for _ in range(2 + len(WARNING))]
        found = re.fullmatch(rf"For a phone .*: http://{re.escape(address)}:(\d+)(/[\w-]{{32}}/)", lines[1])
        assert found, lines
        assert tuple(lines[2:]) == WARNING
        port, start = int(found[1]), found[2]
        assert start != there.start
        assert ask(address, port, f"{start}api/bench")[0] == 200
        assert ask(address, port, f"{there.start}api/bench")[0] == 403
        assert ask(address, port, f"{start}api/shelf")[0] == 404
        told = json.loads(there.ask("api/phone/tool-tray")[1])
        assert told["address"] == f"http://{address}:{port}{start}#/bench/tool-tray"
        assert told["code"] == code_image(told["address"])
        with pytest.raises(OSError, match="refused"):
            ask(address, there.port, there.start)
        assert there.end(signal.SIGINT)[0] == 0
        with pytest.raises(OSError, match="refused"):
            ask(address, port, start)


def test_a_guest_cannot_end_it(tmp_path: Path) -> None:
    """Neither at the guest's own door, nor with the guest's key at the maker's, nor at the guest's with none."""
    address = network()
    tray(tmp_path)
    with bench(str(tmp_path), "--lan", "--no-open") as there:
        told = json.loads(there.ask("api/phone/tool-tray")[1])["address"]
        found = re.fullmatch(r"http://[^:]+:(\d+)(/[\w-]{32}/)#.*", told)
        assert found
        port, start = int(found[1]), found[2]
        assert ask(address, port, f"{start}api/end", "POST")[0] == 404
        assert ask(address, port, "/api/end", "POST")[0] == 403
        assert ask(address, port, f"{there.start}api/end", "POST")[0] == 403
        assert ask("127.0.0.1", there.port, f"{start}api/end", "POST")[0] == 403
        time.sleep(0.6)
        assert there.run.poll() is None
        assert there.ask("api/shelf")[0] == 200
        assert ask("127.0.0.1", there.port, f"{there.start}api/end", "POST")[0] == 200, "the maker can"
        assert there.run.wait(GENEROUS) == 0


def ask(host: str, port: int, path: str, method: str = "GET") -> tuple[int, bytes]:
    with closing(http.client.HTTPConnection(host, port, timeout=GENEROUS)) as there:
        there.request(method, path, "{}" if method == "POST" else None)
        answer = there.getresponse()
        return answer.status, answer.read()


def test_it_is_off_unless_asked_for(tmp_path: Path) -> None:
    tray(tmp_path)
    with bench(str(tmp_path)) as there:
        waited(lambda: there.ask("api/shelf")[0] == 200)
        told = json.loads(there.ask("api/phone/tool-tray")[1])
        assert (told["address"], told["code"]) == ("", "")
        assert told["command"].endswith(" --lan")
        own = psutil.Process(there.run.pid).net_connections("inet")
        assert {one.laddr.ip for one in own if one.status == psutil.CONN_LISTEN} == {"127.0.0.1"}
        assert "network" not in there.end(signal.SIGINT)[1]


def test_an_address_that_is_not_ours_is_refused_before_anything_starts(tmp_path: Path) -> None:
    tray(tmp_path)
    assert "no such address" in refused("bench", str(tmp_path), "--lan-address", "198.51.100.7")
    with socket.socket() as taken:
        taken.bind((network(), 0))
        taken.listen()
        number = taken.getsockname()[1]
        said = refused("bench", str(tmp_path), "--lan", "--port", str(number))
        assert f"--port {number} cannot be used at {network()}" in said


def test_in_a_pipe_no_code_is_drawn(capsys: pytest.CaptureFixture[str]) -> None:
    draw_code(code_rows("http://192.168.1.20:4711/"))
    assert capsys.readouterr().out == ""


def test_a_code_is_drawn_with_blocks_that_need_no_colour() -> None:
    rows = code_rows(f"http://192.168.100.100:65535/{'k' * 32}/")
    assert {len(row) for row in rows} == {41}, "it has room on a terminal of 80 columns"
    assert len(rows) == 21, "and of 24 lines"
    assert set("".join(rows)) <= set(" \u2580\u2584\u2588")
    assert rows[0] == rows[1] == "\u2588" * 41, "light squares round it"
