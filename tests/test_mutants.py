"""That the sample of mutants can be drawn: it is a run of its own, so a file that has moved would go unseen."""

from __future__ import annotations

import ast
from pathlib import Path

from tests.mutants import TESTS, sampled, source_of

ROOT = Path(__file__).parents[1]


def test_every_module_and_every_test_of_the_table_is_there() -> None:
    named = {f"solids/{module}" for module in TESTS} | {
        f"tests/{test}" for tests in TESTS.values() for test in tests.split()
    }
    assert not [path for path in sorted(named) if not (ROOT / path).exists()]


def test_a_mutant_is_not_its_module() -> None:
    for mutant in sampled(ROOT, 5, seed=3):
        text = (ROOT / mutant.file).read_text("utf-8")
        line, changed = source_of(ROOT, mutant)
        assert 1 <= line <= len(text.splitlines())
        assert changed != ast.unparse(ast.parse(text))
