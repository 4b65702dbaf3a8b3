"""What the kernel's process does: it reads one request a line, as JSON, and answers in lines. It ends when whoever
started it closes the pipe, or ends.

A request has a `task`: "prove" or "make". The last line of an answer has a `result`; lines before it tell how far the
work is.
"""

from __future__ import annotations

import json
import os
import signal
import sys
from collections.abc import Callable, Iterator, Mapping
from io import TextIOWrapper
from pathlib import Path
from typing import Any, cast

from solids.app.batch.worker import load_kernel
from solids.base.errors import FaultError, HalfpinError, InputError, JointError
from solids.base.findings import REPORT, Finding, worst_first
from solids.base.messages import counted, said
from solids.layout import Layout
from solids.layout.box.model import BoxLayout
from solids.layout.plan import laid_out
from solids.recipe.completing.shop import NO_SHOP, Shop
from solids.recipe.text.shop_file import shop_of
from solids.recipe.text.toml import raw_in
from solids.write.named import GROUPS, PIECES, Group

OUT_OF_MEMORY = ("MemoryError", "ArrayMemoryError", "Standard_OutOfMemory")
"""What Python, NumPy and Open CASCADE call it. By name, as none of them is loaded here for that."""

NO_MEMORY = "This machine has too little memory free for it. Close other programs, and try again."

Tell = Callable[[Mapping[str, Any]], None]


def main() -> None:
    """Loads the kernel, then answers requests until there are no more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the process that started this one
    signal.signal(signal.SIGTERM, _stop)
    with _own_output() as output:

        def tell(line: Mapping[str, Any]) -> None:
            output.write(json.dumps(line) + "\n")
            output.flush()

        load_kernel()
        tell({"result": "ready"})
        for line in sys.stdin.buffer:
            answer(json.loads(line), tell)


def _stop(*_: object) -> None:
    """Work that was under way tidies up on its way out."""
    raise SystemExit(0)


def _own_output() -> TextIOWrapper:
    """The pipe to whoever asks. What libraries print goes where errors go, and not into it."""
    own = os.dup(sys.stdout.fileno())
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    return os.fdopen(own, "w", encoding="utf-8")


def answer(request: Mapping[str, Any], tell: Tell) -> None:
    """Does what a request asks for. What cannot be done is told in words."""
    task = {"prove": _prove, "make": _make}[request["task"]]
    try:
        result = task(request, tell)
    except HalfpinError as err:
        report = f" {REPORT}" if isinstance(err, FaultError) else ""
        result = {"result": "trouble", "words": f"{err}{report}"}
    except OSError as err:
        result = {"result": "trouble", "words": f"{err.filename or 'A file'} cannot be written: {err.strerror}"}
    except Exception as err:
        fault = f"{REPORT} Add this line: {type(err).__name__}: {str(err)[:300]}"
        result = {"result": "trouble", "words": NO_MEMORY if type(err).__name__ in OUT_OF_MEMORY else fault}
    tell(result)


def _laid_out(request: Mapping[str, Any]) -> Layout | BoxLayout:
    settings = request.get("shop")
    shop: Shop = shop_of(settings) if settings else NO_SHOP
    return laid_out(*raw_in(request["text"], "the recipe"), shop)


# --- the proof -----------------------------------------------------------------------------------


def _prove(request: Mapping[str, Any], _: Tell) -> dict[str, Any]:
    from solids.write.files.table import prove_layout
    from solids.write.page.contents import scene_json

    job = prove_layout(_laid_out(request))
    steps = job.proof.steps if job.proof.assembly.box else []
    parts = [*job.proof.parts]
    return {
        "result": "proof",
        "proof": {**proof_in_words(job.proof.findings), "steps": steps, "parts": parts},
        "model": scene_json(job.scene),
    }


def proof_in_words(findings: tuple[Finding, ...]) -> dict[str, Any]:
    """The proof in one line, and each finding, the worst first."""
    found = worst_first(findings)
    count = {kind: sum(one.severity == kind for one in found) for kind in ("fail", "warning", "pass")}
    passed = f"{counted(count['pass'], 'check')} passed"
    if count["fail"]:
        line, severity = f"It would not go together. {found[0].said}", "fail"
    elif count["warning"]:
        line, severity = f"It goes together: {passed}, with {counted(count['warning'], 'warning')}.", "warning"
    else:
        line, severity = f"It goes together: {passed}.", "pass"
    told = [{"severity": one.severity, "sentence": one.said, "remedy": one.advice} for one in found]
    return {"line": line, "severity": severity, "findings": told}


# --- files ---------------------------------------------------------------------------------------


def _make(request: Mapping[str, Any], tell: Tell) -> dict[str, Any]:
    """The files of some groups, in the steps of the commands that write them: `halfpin build` or `halfpin paper`, and
    then `halfpin aids`."""
    from solids.write.files.job import Job
    from solids.write.files.table import files_of, prove_layout, write_files

    found = _laid_out(request)
    tell({"done": 0, "of": 1, "what": "the proof"})
    job: Job = prove_layout(found)
    if not job.proof.passes:
        raise JointError(f"Nothing was made, because the {PIECES[job.piece].what} fails its proof.")
    runs = list(_runs(request["wanted"]))
    notices: list[str] = []
    if ("aids",) in runs:
        tell({"done": 0, "of": 1, "what": "the aids and their proof"})
        notices += _aids_left_out(job)
    names = {(run, file.name) for run in runs for group in run for file in files_of(job, group)}
    done, count = 0, len(names)

    def on(name: str) -> None:
        nonlocal done
        tell({"done": done, "of": max(count, done + 1), "what": name})
        done += 1

    for run in runs:
        written = write_files(job, Path(request["out"]), on, run)
        notices += written.notices
    words = f"{counted(done, 'file')} made, and the report."
    return {"result": "made", "words": words, "files": done, "notices": notices}


def _runs(wanted: list[str]) -> Iterator[tuple[Group, ...]]:
    """What is asked for as the commands make it: all but the aids in one run, then the aids. A page comes with the
    model that it offers."""
    asked = {*wanted, *(["model"] if "page" in wanted else [])}
    groups = tuple(group for group in GROUPS if group in asked)
    if not groups or asked - set(GROUPS):
        raise InputError(f"tick at least one of {', '.join(GROUPS)}")
    if rest := tuple(group for group in groups if group != "aids"):
        yield cast("tuple[Group, ...]", rest)
    if "aids" in groups:
        yield ("aids",)


def _aids_left_out(job: Any) -> list[str]:
    """Why aids are not made. InputError where none could be."""
    shops = [(joint.workshop, joint.layout.recipe.units) for joint in job.joints]
    told = [f"{one.name}: {said(one.why, units)}" for shop, units in shops for one in shop.refused]
    told += [f"{one.aid.name} fails its own proof and is not made" for shop, _ in shops for one in shop.failed]
    if not any(shop.good for shop, _ in shops):
        raise InputError(f"No shop aid could be made. {'. '.join(told)}")
    return told


if __name__ == "__main__":
    main()
