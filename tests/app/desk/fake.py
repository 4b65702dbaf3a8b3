"""A stand-in for the server of the bench, to look at its page and to test it in a browser: recipes in memory, states
made from real layouts, and a scene that is handed in. It keeps to the addresses and the headers of the real one, but
proves nothing and writes nothing.

`python -m tests.app.desk.fake` serves a shelf to look at.
"""

from __future__ import annotations

import json
import queue
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from importlib import resources
from typing import Any
from urllib.parse import unquote

from solids.base.errors import RecipeError
from solids.base.lengths import RULE, format_length
from solids.bench.settings import bench_of
from solids.layout import Layout, lay_out
from solids.recipe import parse_recipe, preset_text
from solids.recipe.tables.keys import value_at
from solids.recipe.tables.schema import known_keys
from solids.write.page.library import three_js

KEY = "key-of-the-sitting"
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; "
    "connect-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
KINDS = {
    ".html": "text/html",
    ".css": "text/css",
    ".js": "text/javascript",
    ".json": "application/json",
    ".svg": "image/svg+xml",
}
COMMON = ("title", "joint.width", "joint.tails", "joint.slope", "joint.pin", "joint.half_pin", "joint.look",
          "tail_board.thickness", "tail_board.wood", "pin_board.thickness", "pin_board.wood")  # fmt: skip
PICTURE = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 30"><path fill="#d9b382" stroke="#4a3626" '
    'd="M2 28V14H8L6 3H22L20 14H26L24 3H40L38 14H44L42 3H58L56 14V28Z"/></svg>'
)


@dataclass
class Piece:
    """A recipe: a preset and what is set otherwise, as typed, with what undo and redo lead to."""

    preset: str
    title: str
    given: dict[str, str] = field(default_factory=dict)
    version: int = 1
    changed: list[str] = field(default_factory=list)
    past: list[dict[str, str]] = field(default_factory=list)
    future: list[dict[str, str]] = field(default_factory=list)
    moving: bool = False
    good: Layout | None = None
    away: bool = False


class Fake:
    """The shelf, and what is done to it. `delay` holds every answer of a piece back (s), and files are made while
    it `goes_on`; `asked` are the requests."""

    def __init__(self, scene: str = "null") -> None:
        self.scene, self.delay = scene, 0.0
        self.goes_on = threading.Event()
        self.goes_on.set()
        self.asked: list[tuple[str, Any]] = []
        self.pieces = {"tool-tray": Piece("tool-tray", "tool tray"), "tea-box": Piece("tea-box", "tea box")}
        self.listeners: list[queue.Queue[dict[str, Any] | None]] = []
        self.under_way = self.most_under_way = 0
        self.lock = threading.RLock()

    def tell(self, **news: Any) -> None:
        """Tells all pages."""
        for one in list(self.listeners):
            one.put(news)

    # --- a piece

    def change(self, name: str, changes: dict[str, Any], *, live: bool = False) -> dict[str, Any]:
        """Sets keys; the changes of one movement are one step for undo."""
        piece = self.pieces[name]
        if not piece.moving:
            piece.past.append(dict(piece.given))
        piece.moving = live
        for key, value in changes.items():
            piece.given = {k: v for k, v in piece.given.items() if k != key} | ({key: value} if value else {})
        piece.future, piece.version, piece.changed = [], piece.version + 1, list(changes)
        return self.told(name)

    def move(self, name: str, handle: str, by: float, *, live: bool) -> dict[str, Any]:
        """Moves a handle: the number of tails, the baseline, or a flank."""
        layout = self.pieces[name].good
        assert layout is not None
        if handle == "tails":
            return self.change(name, {"joint.tails": str(len(layout.tails) + round(by))}, live=live)
        if handle == "baseline":
            thick = round(layout.recipe.pin_board.thickness - by, 6)
            return self.change(name, {"pin_board.thickness": f"{thick:g} mm"}, live=live)
        number = int(handle.split()[1]) - 1
        places = [round(flank.face + (by if i == number else 0), 6) for i, flank in enumerate(layout.flanks)]
        changes = dict.fromkeys(("joint.tails", "joint.pin", "joint.half_pin"))
        return self.change(name, changes | {"joint.flanks": json.dumps([f"{x:g} mm" for x in places])}, live=live)

    def step(self, name: str, back: bool) -> dict[str, Any]:
        """Undo, or redo."""
        piece = self.pieces[name]
        source, target = (piece.past, piece.future) if back else (piece.future, piece.past)
        before = piece.given
        target.append(before)
        piece.given = source.pop()
        piece.changed = sorted({k for k, _ in set(before.items()) ^ set(piece.given.items())})
        piece.version += 1
        return self.told(name)

    def told(self, name: str) -> dict[str, Any]:
        """The state, and the proof a moment later."""
        state = self.state(name)
        if state["good"] and not self.pieces[name].moving:
            proof = {"line": "It goes together: 25 checks passed.", "severity": "pass", "findings": FINDINGS}
            at = f"api/model/{name}/{state['version']}"
            news = {"event": "proof", "name": name, "version": state["version"], "proof": proof, "model_at": at}
            threading.Timer(0.05, lambda: self.tell(**news)).start()
        return state

    def state(self, name: str) -> dict[str, Any]:
        """What the page shows of a piece."""
        piece = self.pieces[name]
        off = ("tails", "pin", "half_pin") if "joint.flanks" in piece.given else ()
        text = "\n".join(
            line for line in preset_text(piece.preset).splitlines() if line.partition(" = ")[0] not in off
        )  # places of flanks stand in place of these
        problems: list[dict[str, str]] = []
        try:
            piece.good = lay_out(parse_recipe(text, piece.preset, [f"{k}={v}" for k, v in piece.given.items()]))
        except RecipeError as err:
            problems = [{"key": told.key, "wrong": told.wrong, "accepted": told.remedy} for told in err.told]
        layout = piece.good
        assert layout is not None
        return {
            "name": name, "version": piece.version, "title": piece.given.get("title", piece.title),
            "units": layout.recipe.units, "piece": "corner", "can_undo": bool(piece.past),
            "can_redo": bool(piece.future), "text": text, "changed": piece.changed,
            "keys": keys(layout, piece, problems),
            "problems": problems, "good": not problems, "unsaved": "", "proof": None, **drawn(layout),
        }  # fmt: skip

    # --- the shelf

    def shelf(self) -> dict[str, Any]:
        """The shelf as the page shows it."""
        shown = [
            {"name": name, "title": one.given.get("title", one.title), "size": "96 x 12 x 10 mm", "piece": "corner",
             "state": "proved" if name == "tool-tray" else "not yet proved", "why": "",
             "picture": f"api/picture/{name}?at=1", "changed": "2026-11-29 16:40"}
            for name, one in self.pieces.items() if not one.away
        ]  # fmt: skip
        away = [{"name": n, "title": p.title, "changed": "2026-11-28 09:12"} for n, p in self.pieces.items() if p.away]
        presets = [{"name": "tool-tray", "title": "tool tray"}, {"name": "drawer-front", "title": "drawer front"}]
        return {"folder": "/home/maker/Documents/Halfpin", "recipes": shown, "away": away, "presets": presets}

    def do(self, what: str, said: dict[str, Any]) -> dict[str, Any]:
        """Something with the shelf."""
        name = said.get("name", "")
        match what:
            case "new" | "measured" | "take-in":
                title = said.get("title") or said["file_name"].removesuffix(".toml")
                name = title.replace(" ", "-")
                self.pieces[name] = Piece(said.get("preset", "tool-tray"), title)
            case "copy":
                old = self.pieces[name]
                name = f"{name}-2"
                self.pieces[name] = Piece(old.preset, f"{old.title} 2", dict(old.given))
            case "rename":
                self.pieces[name].title = said["title"]
            case _:
                self.pieces[name].away = what == "away"
        self.tell(event="shelf")
        return {"name": name}

    def make(self) -> dict[str, Any]:
        """Makes nothing, but tells of it."""

        def work() -> None:
            for done, what in enumerate(("corner.step", "booklet.pdf")):
                self.tell(event="making", id="work", name="tool-tray", done=done, of=2, what=what)
                time.sleep(0.1)
                self.goes_on.wait()
            self.tell(event="made", id="work", name="tool-tray", notices=[LEFT_OUT])

        threading.Timer(0.05, work).start()
        return {"id": "work"}


LEFT_OUT = "comb: needs the outside diameter of your guide bush"

MADE = [
    {"file": "booklet.pdf", "words": "the whole booklet"},
    {"file": "corner.step", "words": "both boards"},
]
FINDINGS = [
    {"severity": "pass", "sentence": "The boards meet at 12 flanks, and nowhere overlap.", "remedy": ""},
    {"severity": "note", "sentence": "The ends stand 0.5 mm proud, to be planed off.", "remedy": ""},
]


def controls() -> list[dict[str, Any]]:
    """A control for every key that a corner can have."""
    found = []
    for key, example in known_keys().items():
        if key.startswith(("box", "opening", "stock")):
            continue
        table, _, name = key.rpartition(".")
        kind = {"joint.tails": "whole", "joint.look": "choice", "joint.allow_thin_half_pin": "yes-no"}.get(key, "text")
        words = name.capitalize().replace("_", " ")
        found.append({
            "key": key, "table": table, "words": words,
            "group": table.replace("_", " ").replace(".", ", ").capitalize(),
            "about": f"{words} of the piece.", "kind": kind, "choices": ["fine", "stout"] if kind == "choice" else [],
            "least": 1, "most": 40, "examples": {"mm": str(example), "in": str(example)}, "lists": None,
            "has_rule": key != "author", "rare": key not in COMMON, "piece": "both",
        })  # fmt: skip
    return found


def keys(layout: Layout, piece: Piece, problems: list[dict[str, str]]) -> dict[str, Any]:
    """Every key with its value and who chose it."""
    rules = {choice.key: choice for choice in layout.recipe.choices}
    wrong = {one["key"]: {**one, "tries": ["5"]} for one in problems}
    found = {}
    for key in known_keys():
        given = piece.given.get(key) or value_at(layout.recipe.tables, key)
        if key in piece.given or (given is not None and key not in rules):
            found[key] = {"value": str(given), "shown": str(given), "by": "you", "rule": ""}
        else:
            rule = rules.get(key)
            found[key] = {
                "value": "",
                "shown": rule.value if rule else "",
                "by": "rule",
                "rule": rule.why if rule else "",
            }
        found[key] |= {"problem": wrong.get(key), "needed": key == "joint.width"}
    return found


def drawn(layout: Layout) -> dict[str, Any]:
    """Both drawings, the handles, and the figures for the bench."""
    depth, width, stub = layout.depth, layout.width, 18.0
    face: list[Any] = [[0.0, 0.0], [0.0, stub]]
    end: list[Any] = [[width, 34.0], [0.0, 34.0], [0.0, 0.0]]
    numbers = []
    for tail in layout.tails:
        (left, right), (low, high) = layout.tail_edges(tail, 0.0), layout.tail_edges(tail, depth)
        face += [[left, stub], [low, stub + depth], [high, stub + depth], [right, stub]]
        end += [[low, 0.0], [low, 14.0], [high, 14.0], [high, 0.0]]
        numbers.append(
            {"kind": "number", "points": [[tail.middle, stub + depth / 2]], "closed": False, "words": str(tail.number)}
        )
    face += [[width, stub], [width, 0.0]]
    wood = {"kind": "wood", "points": face, "closed": True, "words": "tail board"}
    back = {
        "kind": "wood",
        "points": [[0, stub], [0, stub + depth], [width, stub + depth], [width, stub]],
        "closed": True,
        "words": "pin board",
    }
    baseline = {"kind": "line", "points": [[0.0, stub], [width, stub]], "closed": False, "words": "baseline"}
    pins = {"kind": "wood", "points": [*end, [width, 0.0]], "closed": True, "words": "pin board"}
    drawings = {
        "face": {"width": width, "height": stub + depth, "shapes": [back, wood, baseline, *numbers]},
        "end": {"width": width, "height": 34.0, "shapes": [pins]},
    }
    handles = [
        handle(
            layout,
            f"flank {number}",
            f"{'left' if number % 2 else 'right'} flank of tail {(number + 1) // 2}",
            (flank.face, stub + depth),
            "x",
            flank.face,
            "joint.flanks",
        )
        for number, flank in enumerate(layout.flanks, start=1)
    ]
    handles.append(
        handle(
            layout,
            "baseline",
            "baseline",
            (width / 2, stub),
            "y",
            layout.recipe.pin_board.thickness,
            "pin_board.thickness",
        )
    )
    at = (0.75 * width, 0.58 * stub)
    tails = handle(layout, "tails", "how many tails", at, "x", len(layout.tails), "joint.tails")
    handles.append({**tails, "step_mm": 1.0, "fine_mm": 1.0, "shown": f"{len(layout.tails)} tails"})
    rows = [
        {"words": f"Gauge, {gauge.board}", "value": format_length(gauge.setting, layout.recipe.units, RULE)}
        for gauge in bench_of(layout).gauges
    ]
    return {"drawings": drawings, "handles": handles, "bench": rows}


def handle(
    layout: Layout, name: str, words: str, at: tuple[float, float], along: str, value: float, key: str
) -> dict[str, Any]:
    """One handle."""
    inch = layout.recipe.units == "in"
    return {"name": name, "words": words, "drawing": "face", "at": list(at), "along": along, "value_mm": value,
            "shown": format_length(value, layout.recipe.units, RULE), "step_mm": 25.4 / 64 if inch else 0.5,
            "fine_mm": 25.4 / 128 if inch else 0.1, "key": key, "keys": [key], "of": key,
            "sense": -1 if name == "baseline" else 1}  # fmt: skip


# --- over the wire ---------------------------------------------------------------------------------


class _Handler(BaseHTTPRequestHandler):
    fake: Fake
    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        path = unquote(self.path).partition("?")[0].removeprefix(f"/{KEY}/")
        if not self.path.startswith(f"/{KEY}/"):
            self.send(403, {"trouble": "This address holds no key."})
        elif path == "api/events":
            self.stream()
        elif path in ("", "index.html") or path.startswith("web/"):
            self.file(path.removeprefix("web/") or "index.html")
        else:
            self.answer(path, None)

    def do_POST(self) -> None:
        said = json.loads(self.rfile.read(int(self.headers.get("Content-Length", 0))) or b"{}")
        if self.path.startswith(f"/{KEY}/"):
            self.answer(unquote(self.path).removeprefix(f"/{KEY}/"), said)
        else:
            self.send(403, {"trouble": "This address holds no key."})

    def answer(self, path: str, said: Any) -> None:
        fake = self.fake
        fake.asked.append((path, said))
        _, what, *rest = path.split("/")
        if what == "piece":
            fake.under_way += 1
            fake.most_under_way = max(fake.most_under_way, fake.under_way)
            time.sleep(fake.delay)
            fake.under_way -= 1
        with fake.lock:
            try:
                self.send(200, self.found(what, rest, said))
            except (KeyError, IndexError) as err:
                self.send(404, {"trouble": f"There is nothing here of the name {err}."})

    def found(self, what: str, rest: list[str], said: Any) -> Any:
        fake, name = self.fake, rest[0] if rest else ""
        does = {
            "controls": controls,
            "model": lambda: json.loads(fake.scene),
            "picture": PICTURE.encode,
            "made": lambda: MADE,
            "make": lambda: {} if name == "stop" else fake.make(),
            "shelf": lambda: preset_text(fake.pieces[rest[1]].preset).encode() if rest[1:] else fake.do(name, said),
            "piece": lambda: fake.told(name),
            "set": lambda: fake.change(name, said["changes"], live=said["live"]),
            "move": lambda: fake.move(name, said["handle"], said["by_mm"], live=said["live"]),
            "undo": lambda: fake.step(name, back=True),
            "redo": lambda: fake.step(name, back=False),
        }
        if what == "shelf" and not rest:
            return fake.shelf()
        return does[rest[1] if what == "piece" and rest[1:] else what]()

    def file(self, name: str) -> None:
        places = (resources.files("solids.app.desk") / "web", resources.files("solids.write.page"))
        found = [place / name for place in places if (place / name).is_file()]
        if name == "three.js":
            self.send(200, three_js().encode(), "text/javascript")
        elif found:
            self.send(200, found[0].read_bytes(), KINDS[name[name.rindex(".") :]])
        else:
            self.send(404, {"trouble": f"The page has no file {name}."})

    def send(self, status: int, body: Any, kind: str = "") -> None:
        data = body if isinstance(body, bytes) else json.dumps(body).encode()
        kind = kind or ("application/json" if data is not body else "image/svg+xml")
        self.send_response(status)
        self.send_header("Content-Type", f"{kind}; charset=utf-8")
        self.send_header("Content-Security-Policy", POLICY)
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header("Cache-Control", "no-store")
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        self.wfile.write(data)

    def stream(self) -> None:
        waiting: queue.Queue[dict[str, Any] | None] = queue.Queue()
        self.fake.listeners.append(waiting)
        self.send_response(200)
        self.send_header("Content-Type", "text/event-stream")
        self.end_headers()
        self.close_connection = True
        try:
            self.wfile.write(b"retry: 200\n\n")
            self.wfile.flush()
            while (news := waiting.get()) is not None:
                self.wfile.write(f"data: {json.dumps(news)}\n\n".encode())
                self.wfile.flush()
        except OSError:
            pass
        finally:
            self.fake.listeners.remove(waiting)

    def log_message(self, *_: object) -> None:
        """Says nothing."""


class _Server(ThreadingHTTPServer):
    daemon_threads = True

    def handle_error(self, *_: object) -> None:
        """A browser may leave in the middle of an answer."""


@contextmanager
def served(fake: Fake, port: int = 0) -> Iterator[str]:
    """The address of the page, while the block runs."""

    class Handler(_Handler):
        pass

    Handler.fake = fake
    server = _Server(("127.0.0.1", port), Handler)
    threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/{KEY}/"
    finally:
        for one in list(fake.listeners):
            one.put(None)
        server.shutdown()
        server.server_close()


def scene_of(preset: str = "tool-tray") -> str:
    """The scene of a proved preset; it takes the kernel some seconds."""
    from solids.write.page.contents import scene_json
    from tests.corners import job_of

    return scene_json(job_of(preset).job.scene.drawn)


if __name__ == "__main__":
    with served(Fake(scene_of())) as address:
        print(address)
        threading.Event().wait()
