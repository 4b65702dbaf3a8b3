"""Forked processes are processes of their own: what one does is not there for the next, nor here."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from pathlib import Path

import pytest

from tests.forks import Forked


def said_by(script: str, *arguments: str, **options: object) -> tuple[int, str, str]:
    with Forked(script, *arguments, **options) as run:  # type: ignore[arg-type]
        out, err = run.communicate(60)
    return run.wait(), out, err


@pytest.mark.parametrize(
    ("script", "code"),
    [
        ("", 0),
        ("raise SystemExit(3)", 3),
        ("import os; os._exit(7)", 7),
        ("import os, signal; os.kill(os.getpid(), signal.SIGKILL)", -signal.SIGKILL),
    ],
)
def test_it_ends_with_its_own_exit_code(script: str, code: int) -> None:
    assert said_by(script) == (code, "", "")


def test_an_error_that_nobody_catches_is_a_traceback_and_exit_1() -> None:
    code, out, err = said_by("print('before')\nraise ZeroDivisionError('planted')")
    assert (code, out) == (1, "before\n")
    assert err.endswith("ZeroDivisionError: planted\n")


def test_streams_folder_arguments_and_environment_are_its_own(tmp_path: Path) -> None:
    script = "import os, sys\nprint(os.getcwd(), sys.argv[1:], dict(os.environ))\nprint('\u00fc', file=sys.stderr)"
    code, out, err = said_by(script, "a b", cwd=tmp_path, env={"ONLY": "this"})
    assert (code, out, err) == (0, f"{tmp_path} ['a b'] {{'ONLY': 'this'}}\n", "\u00fc\n")


def test_what_one_does_is_not_there_for_the_next(tmp_path: Path) -> None:
    script = "import os, solids\nprint(getattr(solids, 'MARK', None), os.environ.get('MARK'), os.getpid())\n"
    script += f"solids.MARK = os.environ['MARK'] = 'x'\nos.chdir({str(tmp_path)!r})"
    first, second = (said_by(script)[1].split() for _ in range(2))
    assert first[:2] == second[:2] == ["None", "None"]
    assert len({first[2], second[2], str(os.getpid())}) == 3
    assert Path.cwd() != tmp_path
    assert "MARK" not in os.environ


def test_the_zone_is_that_of_its_environment() -> None:
    script = "import time\nprint(time.strftime('%H:%M', time.localtime(0)))"
    assert said_by(script, env={"TZ": "UTC"})[1] == "00:00\n"
    assert said_by(script, env={"TZ": "XYZ-5:45"})[1] == "05:45\n"


def test_a_signal_reaches_it_and_several_run_at_once() -> None:
    script = "import time\nprint('up', flush=True)\ntime.sleep(600)"
    runs = [Forked(script) for _ in range(2)]
    for run in runs:
        assert run.stdout is not None
        assert run.stdout.readline() == "up\n"
        assert run.poll() is None
    runs[0].send_signal(signal.SIGTERM)
    assert runs[0].wait(60) == -signal.SIGTERM
    assert runs[1].poll() is None
    runs[1].kill()
    assert runs[1].wait(60) == -signal.SIGKILL
    for run in runs:
        run.close()


def test_one_that_takes_too_long_is_killed() -> None:
    start = time.monotonic()
    run = Forked("import time\ntime.sleep(600)")
    with pytest.raises(subprocess.TimeoutExpired):
        run.communicate(0.2)
    assert run.returncode == -signal.SIGKILL
    assert time.monotonic() - start < 300
