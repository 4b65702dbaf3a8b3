"""How many small changes of the arithmetic the tests notice: a sample, the same for the same seed.

    .venv/bin/python -m tests.mutants 200 --seed 1
    .venv/bin/python -m tests.mutants 200 --seed 1 --root ANOTHER-CHECKOUT

A mutant is one module with one change: a number, an operator, a comparison, a condition. It is killed where a test that
belongs to the module fails, or does not end. Survivors are printed with their line; some change nothing that matters.
With `--root`, module and tests are those of another checkout, so that two states of the tests meet the same mutants.
The changed module never reaches the disk: a forked process loads it in place of the file's. Two processes.
"""

from __future__ import annotations

import argparse
import ast
import copy
import importlib
import os
import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import TimeoutError as TooSlow
from dataclasses import dataclass
from importlib.machinery import ModuleSpec, SourceFileLoader
from importlib.util import spec_from_file_location
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from pebble import ProcessPool

TESTS = {
    "layout": "layout bench/test_settings.py recipe/test_choices.py test_properties.py",
    "layout/box": "bench/test_box_procedure.py bench/test_materials.py bench/gluing",
    "recipe": "recipe layout/test_layout.py",
    "recipe/completing": "layout",
    "wood": "wood bench/test_movement.py outside/test_species.py outside/test_wood_movement.py",
    "base/lengths.py": "base/test_lengths.py base/test_messages.py recipe/test_fields.py layout/test_plan.py",
    "base/parsing.py": "base/test_lengths.py recipe/test_fields.py",
    "bench/milling.py": "bench/test_milling.py bench/test_settings.py",
    "bench/strength.py": "bench/test_strength.py outside/test_textbooks.py",
    "bench/movement.py": "bench/test_movement.py outside/test_wood_movement.py",
    "bench/settings": "bench/test_settings.py outside/test_inch.py",
    "model/slabs.py": "model/test_slabs.py",
    **{f"bench/{name}.py": f"bench/test_{name}.py" for name in ("hand_error", "worktime", "comparing", "remarks")},
    "bench/facts.py": "bench/test_remarks.py bench/test_hand_error.py bench/test_movement.py",
    "bench/procedure": "bench/test_procedure.py bench/test_box_procedure.py",
    "bench/gluing": "bench/gluing",
}
"""The pure modules, and the tests that belong to each; quick ones stand first, since the first failure ends a run."""

MOST_OF_A_FILE = 40
"""Sites that a file gives to draw from, so that its tables of woods do not make up most of a sample."""

LIMIT_S = 900
PRELOADED = ("OCP", "hypothesis.strategies", "jinja2", "manifold3d", "numpy", "pydantic", "pytest", "tomlkit")

PAIRS = (
    *((ast.Add, ast.Sub), (ast.Mult, ast.Div), (ast.Lt, ast.LtE), (ast.Gt, ast.GtE)),
    *((ast.Eq, ast.NotEq), (ast.And, ast.Or), (ast.In, ast.NotIn), (ast.Is, ast.IsNot)),
)
SWAPS: dict[type[ast.AST], type[ast.AST]] = {old: new for pair in PAIRS for old, new in (pair, pair[::-1])}


@dataclass(frozen=True)
class Mutant:
    """A file, below the root, and which of its sites is changed."""

    file: str
    site: int

    @property
    def module(self) -> str:
        return self.file.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


def changed(tree: ast.Module) -> Iterator[tuple[int, ast.Module]]:
    """The tree with each of its sites changed in turn, and the site's line. What it gives is to be used at once."""
    for node in ast.walk(tree):
        line = getattr(node, "lineno", 0)
        if isinstance(node, ast.Constant) and type(node.value) in (bool, int, float):
            old: Any = node.value
            node.value = not old if isinstance(old, bool) else old + 1 if isinstance(old, int) else old * 1.1 + 0.1
            yield line, tree
            node.value = old
        elif isinstance(node, ast.BinOp | ast.BoolOp) and type(node.op) in SWAPS:
            operator = node.op
            node.op = SWAPS[type(operator)]()  # type: ignore[assignment]
            yield line, tree
            node.op = operator
        elif isinstance(node, ast.Compare) and type(node.ops[0]) in SWAPS:
            first = node.ops[0]
            node.ops[0] = SWAPS[type(first)]()  # type: ignore[call-overload]
            yield line, tree
            node.ops[0] = first
        elif isinstance(node, ast.If | ast.IfExp) and ast.unparse(node.test) != "TYPE_CHECKING":
            test = node.test
            node.test = ast.UnaryOp(ast.Not(), copy.copy(test))
            yield line, tree
            node.test = test


def source_of(root: Path, mutant: Mutant) -> tuple[int, str]:
    """The line that differs and the changed source."""
    for site, (line, tree) in enumerate(changed(ast.parse((root / mutant.file).read_text("utf-8")))):
        if site == mutant.site:
            return line, ast.unparse(ast.fix_missing_locations(tree))
    raise LookupError(mutant)


def sampled(root: Path, count: int, seed: int) -> list[Mutant]:
    """Mutants of the pure modules."""
    dice = random.Random(seed)
    found = []
    for name in TESTS:
        place = root / "solids" / name
        for file in sorted(place.rglob("*.py")) if place.is_dir() else [place]:
            sites = sum(1 for _ in changed(ast.parse(file.read_text("utf-8"))))
            picked = dice.sample(range(sites), min(sites, MOST_OF_A_FILE))
            found += [Mutant(file.relative_to(root).as_posix(), site) for site in picked]
    return dice.sample(found, count)


class Changed(SourceFileLoader):
    """Loads the changed source in place of the file's, and nothing compiled earlier."""

    def __init__(self, name: str, path: str, source: str) -> None:
        super().__init__(name, path)
        self._source = source

    def get_data(self, path: str) -> bytes:  # noqa: ARG002
        return self._source.encode()

    def path_stats(self, path: str) -> dict[str, Any]:  # noqa: ARG002
        raise OSError("what was compiled is of another source")


def tests_fail(root: Path, mutant: Mutant, seed: int) -> bool:
    """Runs the tests of the mutant's module, in a process that is given up afterwards."""
    _, source = source_of(root, mutant)

    class Finder:
        @staticmethod
        def find_spec(name: str, *_: object) -> ModuleSpec | None:
            if name != mutant.module:
                return None
            path = str(root / mutant.file)
            inside = [str(Path(path).parent)] if path.endswith("__init__.py") else None
            return spec_from_file_location(
                name, path, loader=Changed(name, path, source), submodule_search_locations=inside
            )

    for name in [name for name in sys.modules if name.partition(".")[0] in ("solids", "tests")]:
        del sys.modules[name]
    sys.meta_path.insert(0, Finder)  # type: ignore[arg-type]
    sys.path.insert(0, str(root))
    os.chdir(root)
    nothing = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nothing, 1)
    os.dup2(nothing, 2)
    import pytest
    from hypothesis import settings

    settings.register_profile("patient", deadline=None)  # or a busy machine would kill mutants
    settings.load_profile("patient")
    tests = [
        f"tests/{name}"
        for key in TESTS
        if f"{mutant.file}/".startswith((f"solids/{key}/",))
        for name in TESTS[key].split()
    ]
    options = ("-x", "-o", "addopts=", "-m", "not outside", "-p", "no:cacheprovider", f"--hypothesis-seed={seed}")
    loaded = ("-W", "ignore::pytest.PytestAssertRewriteWarning")
    with tempfile.TemporaryDirectory() as own:  # the usual one is tidied by all runs at once, which may fail a test
        code = pytest.main([*options, *loaded, "--basetemp", f"{own}/tests", *tests])
    # 2: it could not even be imported; 4: nor what the tests share, or there are no such tests.
    assert code in (0, 1, 2) or (code == 4 and all(map(os.path.exists, tests))), f"the tests could not be run: {code}"
    return code != 0


def main() -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.mutants")
    asked.add_argument("count", type=int)
    asked.add_argument("--seed", type=int, default=random.randrange(1, 10**9))
    asked.add_argument("--root", type=Path, default=Path(__file__).parents[1])
    given = asked.parse_args()
    root, start = given.root.resolve(), time.perf_counter()
    print(f"{given.count} mutants --seed {given.seed}", flush=True)
    for name in PRELOADED:
        importlib.import_module(name)
    mutants = sampled(root, given.count, given.seed)
    counts: Counter[bool] = Counter()
    with ProcessPool(2, max_tasks=1, context=get_context("fork")) as pool:
        runs = [pool.schedule(tests_fail, args=(root, each, given.seed), timeout=LIMIT_S) for each in mutants]
        for mutant, run in zip(mutants, runs, strict=True):
            try:
                killed = run.result()
            except TooSlow:
                killed = True
            counts[killed] += 1
            if not killed:
                place = f"{mutant.file}:{source_of(root, mutant)[0]}"
                print(f"survived: number {counts.total()}, {place}, site {mutant.site}", flush=True)
    took = time.perf_counter() - start
    print(f"killed {counts[True]}, survived {counts[False]} of {given.count} in {took:.0f} s")


if __name__ == "__main__":
    main()
