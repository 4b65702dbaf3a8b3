"""The addresses of the page, behind the guard: each reads what was sent, calls, and answers in JSON. What goes wrong is
told in words, as {"trouble": sentence}."""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import AbstractAsyncContextManager
from functools import partial
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from solids.app.desk.at_bench import for_a_guest, for_guests
from solids.app.desk.beside import beside, bring_back, call, drop, keep, kept_states, take
from solids.app.desk.events import everything
from solids.app.desk.keys import controls
from solids.app.desk.serving.ending import end
from solids.app.desk.serving.lan import code_image
from solids.app.desk.serving.made import archive, files_made, folder_of_files, made_file, saved_as
from solids.app.desk.serving.pages import page_file
from solids.app.desk.serving.shortcut import command_of, to_type
from solids.app.desk.shelf.pictures import picture_of
from solids.app.exits import FAILS_PROOF, OUR_FAULT, explained, told
from solids.base.errors import InputError

if TYPE_CHECKING:
    from solids.app.desk.events import Event
    from solids.app.desk.shop.own_shop import OwnShop
    from solids.app.desk.sitting import Sitting

LARGEST, LARGEST_RECIPE = 1_000_000, 2_000_000
"""How many bytes the body of a request may hold; and that of one which hands in a file."""

MOST_UNREAD = 16_000_000
"""How much of a body that is too large is read and let go: a browser that is cut off sooner never sees the answer."""

MISSING = "there is nothing at this address"


def application(sitting: Sitting, lifespan: Callable[[Starlette], AbstractAsyncContextManager[None]]) -> Starlette:
    """All addresses. `lifespan` is what begins and ends with the server."""
    return Starlette(
        routes=[
            *_shelf(sitting),
            *_piece(sitting),
            *_kept(sitting),
            *_at_bench(sitting),
            *_files(sitting),
            *_shop(sitting),
            *_page(sitting),
        ],
        lifespan=lifespan,
        exception_handlers={HTTPException: _not_found},
    )


def guest_application(sitting: Sitting) -> Starlette:
    """The addresses for others in the local network: pieces at the bench, to see and to tick. Nothing else is there,
    and what goes wrong is told without any path of this machine."""
    routes = [
        *_at_bench(sitting, hush=True),
        _get("/", lambda _: page_file("guest.html")),
        _get("/web/{name}", lambda request: page_file(request.path_params["name"]), hush=True),
        _get("/api/picture/{name}", lambda request: _picture(sitting, request.path_params["name"]), hush=True),
        Route("/api/events", partial(_events, sitting, told=for_guests)),
    ]
    return Starlette(routes=routes, exception_handlers={HTTPException: _not_found})


async def _not_found(_request: Request, err: Exception) -> Response:
    return JSONResponse({"trouble": MISSING}, getattr(err, "status_code", 404))


# --- what is asked -----------------------------------------------------------------------------------


def _page(sitting: Sitting) -> list[Route]:
    return [
        _get("/", lambda _: page_file("index.html")),
        _get("/web/{name}", lambda request: page_file(request.path_params["name"])),
        _get("/api/controls", lambda _: controls(sitting.shelf.shop)),
        _get("/api/phone/{name}", lambda request: _on_a_phone(sitting, request.path_params["name"])),
        Route("/api/events", partial(_events, sitting)),
        _post("/api/end", lambda *_: end(sitting)),
    ]


def _shelf(sitting: Sitting) -> list[Route]:
    put = sitting.put_on_shelf
    return [
        _get("/api/shelf", lambda _: {**sitting.recipes(), "presets": sitting.shelf.presets()}),
        _named("new", lambda said: put(lambda shelf: shelf.new(_text(said, "preset"), _text(said, "title")))),
        _named("measured", lambda said: put(lambda shelf: shelf.measured(_text(said, "title"), _text(said, "marks")))),
        _named("copy", lambda said: put(lambda shelf: shelf.copy(_text(said, "name")))),
        _named("rename", lambda said: sitting.rename(_text(said, "name"), _text(said, "title"))),
        _named("away", lambda said: sitting.put_away(_text(said, "name"))),
        _named("back", lambda said: put(lambda shelf: shelf.bring_back(_text(said, "name")))),
        _named(
            "take-in",
            lambda said: put(lambda shelf: shelf.take_in(_text(said, "file_name"), _text(said, "text"))),
            LARGEST_RECIPE,
        ),
        _get("/api/shelf/hand-out/{name}", partial(_handed_out, sitting)),
        _get("/api/picture/{name}", lambda request: _picture(sitting, request.path_params["name"])),
    ]


def _piece(sitting: Sitting) -> list[Route]:
    def name(request: Request) -> str:
        return str(request.path_params["name"])

    return [
        _get("/api/piece/{name}", lambda request: sitting.state(name(request))),
        _post(
            "/api/piece/{name}/set",
            lambda request, said: sitting.set(name(request), _table(said, "changes"), live=said.get("live") is True),
        ),
        _post(
            "/api/piece/{name}/move",
            lambda request, said: sitting.move(
                name(request), _text(said, "handle"), _number(said, "by_mm"), live=said.get("live") is True
            ),
        ),
        _post("/api/piece/{name}/undo", lambda request, _: sitting.undo(name(request))),
        _post("/api/piece/{name}/redo", lambda request, _: sitting.redo(name(request))),
        _get("/api/model/{name}/{version:int}", partial(_model, sitting)),
    ]


def _at_bench(sitting: Sitting, *, hush: bool = False) -> list[Route]:
    """A piece at the bench. `hush` tells nothing of this machine where something goes wrong."""
    bench = sitting.at_bench

    def name(request: Request) -> str:
        return str(request.path_params["name"])

    def tick(request: Request, said: dict[str, Any]) -> dict[str, Any]:
        return bench.tick(name(request), _text(said, "step"), _text(said, "words"), said.get("done") is True)

    return [
        _get("/api/bench", lambda _: bench.pieces(), hush=hush),
        _get("/api/bench/{name}", lambda request: bench.shown(name(request)), hush=hush),
        _post("/api/bench/{name}/tick", tick, hush=hush),
        _post("/api/bench/{name}/again", lambda request, _: bench.begin_again(name(request)), hush=hush),
        _post("/api/bench/{name}/back", lambda request, _: bench.back(name(request)), hush=hush),
    ]


def _kept(sitting: Sitting) -> list[Route]:
    def post(path: str, work: Callable[..., Any], *wanted: str) -> Route:
        def answer(request: Request, said: dict[str, Any]) -> Any:
            return work(sitting, request.path_params["name"], *(_text(said, key) for key in wanted))

        return _post(f"/api/kept/{{name}}/{path}", answer)

    return [
        _get("/api/kept/{name}", lambda request: kept_states(sitting, request.path_params["name"])),
        post("keep", keep, "words"),
        post("call", call, "number", "words"),
        post("drop", drop, "number"),
        post("back", bring_back, "number"),
        post("take", take, "number"),
        _get("/api/beside/{name}/{left}/{right}", lambda request: beside(sitting, **request.path_params)),
    ]


def _shop(sitting: Sitting) -> list[Route]:
    def shop() -> OwnShop:
        if sitting.own_shop is None:
            raise InputError("this bench has no shop")
        return sitting.own_shop

    return [
        _get("/api/shop", lambda _: shop().state()),
        _get("/api/shop/controls", lambda _: shop().controls()),
        _post("/api/shop/set", lambda _, said: shop().set(_table(said, "changes"))),
        _post("/api/shop/undo", lambda *_: shop().undo()),
        _post("/api/shop/redo", lambda *_: shop().redo()),
    ]


def _files(sitting: Sitting) -> list[Route]:
    def name(request: Request) -> str:
        return str(request.path_params["name"])

    def file(request: Request) -> Response:
        return made_file(sitting, name(request), request.path_params["file"])

    return [
        _post("/api/make/stop", lambda _, said: _stopped(sitting, said)),
        _post("/api/make/{name}", lambda request, said: _make(sitting, name(request), said)),
        _get("/api/made/{name}.zip", lambda request: archive(sitting, name(request))),
        _get("/api/made/{name}", lambda request: files_made(sitting, name(request))),
        _get("/api/made/{name}/{file:path}", file),
    ]


def _on_a_phone(sitting: Sitting, name: str) -> dict[str, str]:
    """Where a phone finds a piece, and the code to scan; both empty where the bench is not offered in the network. And
    what to type in a terminal so that it is, wherever that stands."""
    at = sitting.at_bench.address
    address = f"{at}#/bench/{quote(name)}" if at else ""
    command = to_type([*command_of(sitting.shelf.folder), "--lan"])
    return {"address": address, "code": code_image(address) if at else "", "command": command}


def _stopped(sitting: Sitting, said: dict[str, Any]) -> dict[str, str]:
    sitting.hands.making.stop(_text(said, "id"))
    return {}


def _make(sitting: Sitting, name: str, said: dict[str, Any]) -> dict[str, str]:
    wanted = said.get("wanted")
    if not isinstance(wanted, list) or not wanted or not all(isinstance(one, str) for one in wanted):
        raise InputError("say what is wanted: tick at least one kind of file")
    folder_of_files(sitting, name)
    return {"id": sitting.hands.making.start(name, sitting.text_of(name), wanted, sitting.events.tell)}


def _handed_out(sitting: Sitting, request: Request) -> Response:
    name = request.path_params["name"]
    return Response(sitting.text_of(name), media_type="application/toml", headers=saved_as(f"{name}.toml"))


def _picture(sitting: Sitting, name: str) -> Response:
    return Response(picture_of(sitting.picture(name)), media_type="image/svg+xml")


def _model(sitting: Sitting, request: Request) -> Response:
    found = sitting.model(request.path_params["name"], request.path_params["version"])
    return Response(found, media_type="application/json") if found else Response(status_code=204)


async def _events(sitting: Sitting, _request: Request, told: Callable[[Event], Event | None] = everything) -> Response:
    return StreamingResponse(sitting.events.stream(told=told), media_type="text/event-stream")


# --- what was sent -----------------------------------------------------------------------------------


def _text(said: dict[str, Any], key: str) -> str:
    value = said.get(key)
    if not isinstance(value, str):
        raise InputError(f"{key}: a text is wanted here")
    return value


def _number(said: dict[str, Any], key: str) -> float:
    value = said.get(key)
    if isinstance(value, bool) or not isinstance(value, int | float) or abs(value) > 1e5:
        raise InputError(f"{key}: a number of mm is wanted here")
    return float(value)


def _table(said: dict[str, Any], key: str) -> dict[str, Any]:
    value = said.get(key)
    if not isinstance(value, dict):
        raise InputError(f"{key}: values by their keys are wanted here")
    return value


class TooLargeError(InputError):
    """A body that is larger than an address takes."""


async def _body(request: Request, most: int) -> dict[str, Any]:
    """What was sent, a JSON object (RFC 8259). InputError where it is none, or too large."""
    parts, size = [], 0
    async for part in request.stream():
        size += len(part)
        if size > MOST_UNREAD:
            break
        if size <= most:
            parts.append(part)
    if size > most:
        raise TooLargeError(
            f"what was sent is over {most // 1_000_000} MB, far more than a recipe; is it the right file?"
        )
    try:
        said = json.loads(b"".join(parts) or b"{}", parse_constant=_no_number)
        json.dumps(said, ensure_ascii=False).encode()  # half of a sign can be in JSON, but in no file and no answer
    except UnicodeEncodeError:
        raise InputError("what was sent holds a sign that is no text; type it again") from None
    except (ValueError, RecursionError):
        raise InputError("what was sent is not JSON") from None
    if not isinstance(said, dict):
        raise InputError("what was sent is no JSON object")
    return said


def _no_number(word: str) -> Any:
    raise ValueError(word)


# --- how it is answered ------------------------------------------------------------------------------


def _get(path: str, work: Callable[[Request], Any], *, hush: bool = False) -> Route:
    async def answer(request: Request) -> Response:
        return await _answered(partial(work, request), hush)

    return Route(path, answer, methods=["GET"])


def _post(
    path: str, work: Callable[[Request, dict[str, Any]], Any], most: int = LARGEST, *, hush: bool = False
) -> Route:
    async def answer(request: Request) -> Response:
        try:
            said = await _body(request, most)
        except ClientDisconnect:
            return Response(status_code=400)
        except InputError as err:
            return _trouble(err)
        return await _answered(partial(work, request, said), hush)

    return Route(path, answer, methods=["POST"])


def _named(path: str, work: Callable[[dict[str, Any]], str], most: int = LARGEST) -> Route:
    """An address of the shelf, which answers with the name of a recipe."""
    return _post(f"/api/shelf/{path}", lambda _, said: {"name": work(said)}, most)


async def _answered(work: Callable[[], Any], hush: bool) -> Response:
    """What the work gives, as JSON, or what went wrong with it, in words; `hush` where a guest asks."""
    try:
        found = await run_in_threadpool(work)
        return found if isinstance(found, Response) else JSONResponse(found)
    except Exception as err:
        return _trouble(for_a_guest(err) if hush else err)


def _trouble(err: Exception) -> Response:
    if isinstance(err, TooLargeError):
        return JSONResponse({"trouble": str(err)}, 413, headers={"Connection": "close"})
    code, _ = explained(err)
    return JSONResponse({"trouble": told(err)}, {OUR_FAULT: 500, FAILS_PROOF: 409}.get(code, 400))
