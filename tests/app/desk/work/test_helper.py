"""The process beside the page: it ends with whoever started it, and answers in words whatever it is asked."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from solids.app.desk.work import child
from solids.app.desk.work.helper import Helper, HelperEndedError
from solids.base.findings import REPORT, Finding

WAIT = 60.0


def test_it_ends_when_nobody_can_ask_any_more() -> None:
    helper = Helper()
    assert helper.process.stdin is not None
    helper.process.stdin.close()
    assert helper.process.wait(WAIT) == 0
    helper.close()


def test_one_that_was_stopped_while_it_loads_has_ended() -> None:
    helper = Helper()
    helper.stop()
    with pytest.raises(HelperEndedError):
        list(helper.ask({"task": "prove", "text": "", "shop": None}))
    helper.close()


def test_it_takes_no_module_from_the_folder_it_is_started_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "json.py").write_text("raise SystemExit(7)", "utf-8")
    monkeypatch.chdir(tmp_path)
    helper = Helper()
    (answer,) = helper.ask({"task": "prove", "text": "[joint", "shop": None})
    helper.close()
    assert answer["result"] == "trouble"
    assert "not TOML" in answer["words"]


def findings(**count: int) -> tuple[Finding, ...]:
    return tuple(Finding("x", kind, f"This is a {kind}.") for kind, n in count.items() for _ in range(n))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("count", "line", "severity"),
    [
        ({"pass": 1, "note": 2}, "It goes together: 1 check passed.", "pass"),
        ({"pass": 25}, "It goes together: 25 checks passed.", "pass"),
        ({"pass": 3, "warning": 1}, "It goes together: 3 checks passed, with 1 warning.", "warning"),
        ({"pass": 3, "warning": 1, "fail": 1}, "It would not go together. This is a fail.", "fail"),
    ],
)
def test_the_proof_in_one_line(count: dict[str, int], line: str, severity: str) -> None:
    told = child.proof_in_words(findings(**count))
    assert (told["line"], told["severity"]) == (line, severity)
    assert len(told["findings"]) == sum(count.values())


def test_a_fault_of_ours_is_reported_without_a_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: Any) -> dict[str, Any]:
        raise ZeroDivisionError("odd")

    told: list[Any] = []
    monkeypatch.setattr(child, "_prove", fails)
    child.answer({"task": "prove"}, told.append)
    assert told == [{"result": "trouble", "words": f"{REPORT} Add this line: ZeroDivisionError: odd"}]
