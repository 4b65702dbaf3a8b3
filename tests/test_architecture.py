"""The house rules: data flows one way, and only the files of the kernel and the STEP writer import Open CASCADE."""

from __future__ import annotations

import ast
import subprocess
import sys
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

import solids

ROOT = Path(solids.__file__).parent

ORDER = ["base", "wood", "recipe", "layout", "bench", "model", "proof", "cadquery", "aids", "write", "app"]
"""The rooms from the ground up; none imports one that comes after it."""

LOOSE = {"__init__.py", "__main__.py", "py.typed"}
"""What may lie in the package beside its rooms."""

RANK = {name: rank for rank, name in enumerate(ORDER)}
DOORS_TO_OCP = {
    "model/kernel/drawing.py",
    "model/kernel/meshing.py",
    "model/kernel/rounding.py",
    "model/kernel/shaping.py",
    "model/kernel/solid.py",
    "write/formats/gltf.py",
    "write/formats/step/dimensioning.py",
    "write/formats/step/reading.py",
    "write/formats/step/settings.py",
    "write/formats/step/writing.py",
}
LONGEST_FILE, LONGEST_FUNCTION = 350, 60
MOST_FLOORS = 3


def modules() -> list[Path]:
    return sorted(ROOT.rglob("*.py"))


@cache
def trees() -> dict[str, ast.Module]:
    """Every file below `solids/` by its path there, parsed."""
    found = {path.relative_to(ROOT).as_posix(): ast.parse(path.read_text("utf-8")) for path in modules()}
    assert len(found) > 100, "the files are found at all"
    return found


def room(path: Path) -> str:
    return path.relative_to(ROOT).parts[0].removesuffix(".py")


def is_type_checking(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"


@cache
def imports(tree: ast.Module) -> list[str]:
    """Every module imported for real; imports for the type checker only do not flow data."""
    return _imports_in(tree)


def _imports_in(tree: ast.AST) -> list[str]:
    found: list[str] = []
    for node in ast.iter_child_nodes(tree):
        if is_type_checking(node):
            continue
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "relative import"
            found += [f"{node.module}.{alias.name}" for alias in node.names]
        found += _imports_in(node)
    return found


def test_there_are_the_rooms_and_nothing_loose() -> None:
    there = {path.name for path in ROOT.iterdir() if path.name not in ("__pycache__", "presets")}
    assert there == set(ORDER) | LOOSE


def test_data_flows_one_way() -> None:
    offenders = [
        f"{path} imports {name}, which comes after it"
        for path, tree in trees().items()
        if path not in LOOSE
        for name in imports(tree)
        if name.startswith("solids.") and RANK.get(name.split(".")[1], -1) > RANK[room(ROOT / path)]
    ]
    assert offenders == []


def test_only_the_doors_import_open_cascade() -> None:
    opened = {path for path, tree in trees().items() if any(name.split(".")[0] == "OCP" for name in imports(tree))}
    assert opened == DOORS_TO_OCP


def test_cadquery_is_loaded_for_those_who_ask_for_it_only() -> None:
    names = {
        path: {name for name in imports(tree) if "cadquery" in name.split(".")[:2]} for path, tree in trees().items()
    }
    assert {path for path, found in names.items() if found} == {"cadquery/__init__.py"}


def graph() -> dict[str, set[str]]:
    """The files that each file imports, by their modules' names. A face (`__init__.py`) only hands names on, so an edge
    goes to the file that the name comes from."""
    files = {".".join(["solids", *Path(path).with_suffix("").parts]): tree for path, tree in trees().items()}
    faces = {name.removesuffix(".__init__"): tree for name, tree in files.items() if name.endswith(".__init__")}
    handed_on = {
        f"{face}.{name.rpartition('.')[2]}": name for face, tree in faces.items() for name in imports(tree)
    } | {
        f"{face}.{alias}": f"{home}.{alias}"
        for face, tree in faces.items()
        for node in ast.walk(tree)
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "_HOMES"
        for alias, home in ast.literal_eval(node.value).items()
    }

    def home(name: str) -> str:
        name = handed_on.get(name, name)
        return name if name in files else name.rpartition(".")[0]

    return {
        name: {target for found in imports(tree) if (target := home(found)) in files and target != name}
        for name, tree in files.items()
        if not name.endswith("__init__")
    }


def test_imports_form_no_cycle() -> None:
    found = graph()
    assert "solids.model.kernel.solid" in found["solids.model.kernel.shaping"], "the graph holds real edges"
    list(TopologicalSorter(found).static_order())


def test_every_folder_has_three_floors_at_most() -> None:
    """A file, or a folder as a whole, stands one floor above the highest that it imports beside it."""
    found, offenders = graph(), []
    folders = {".".join(name.split(".")[:depth]) for name in found for depth in range(2, len(name.split(".")))}
    for folder in sorted(folders):
        inside = [name for name in found if name.startswith(f"{folder}.")]
        room = {name: name.removeprefix(f"{folder}.").split(".")[0] for name in inside}
        below: dict[str, set[str]] = {}
        for name in inside:
            below.setdefault(room[name], set()).update(room[t] for t in found[name] if t in room)
        sorter = TopologicalSorter({one: others - {one} for one, others in below.items()})
        sorter.prepare()
        floors = 0
        while ready := sorter.get_ready():
            sorter.done(*ready)
            floors += 1
        if floors > MOST_FLOORS:
            offenders.append(f"{folder} has {floors} floors")
    assert offenders == []


def test_files_and_functions_stay_small() -> None:
    lengths = {str(path.relative_to(ROOT)): path.read_text("utf-8").count("\n") for path in modules()}
    offenders = [f"{path} has {length} lines" for path, length in lengths.items() if length > LONGEST_FILE]
    for path, tree in trees().items():
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef) and (node.end_lineno or 0) - node.lineno >= LONGEST_FUNCTION:
                offenders.append(f"{path}: {node.name} is too long")
    assert offenders == []


SENTENCES = {"sentence", "wrong", "remedy", "why", "said", "advice", "words"}
READERS = {"startswith", "endswith", "replace", "partition", "rpartition", "split", "removeprefix", "removesuffix"}


def test_no_code_takes_a_sentence_apart() -> None:
    """What is told of a finding, a problem or a refusal is a value until it is shown; nothing asks how it reads."""
    offenders = []
    for path, tree in trees().items():
        for node in ast.walk(tree):
            if isinstance(node, ast.Attribute) and node.attr in READERS:
                read = node.value
            elif isinstance(node, ast.Compare) and isinstance(node.ops[0], ast.In):
                read = node.comparators[0]
            elif isinstance(node, ast.Subscript):
                read = node.value
            else:
                continue
            if isinstance(read, ast.Attribute) and read.attr in SENTENCES:
                offenders.append(f"{path}, line {node.lineno}: {ast.unparse(node)}")
    assert offenders == []


HEAVY = (
    "OCP",
    "cadquery",
    "trimesh",
    "vtk",
    "vtkmodules",
    "numpy",
    "jinja2",
    "manifold3d",
    "reportlab",
    "ezdxf",
    "anyascii",
    "scipy",
)

A_BOARD = "stock.board=[{length=2400,width=200,thickness=27,wood='beech'}]"


@pytest.mark.parametrize(
    "run",
    [
        "import solids",
        "import solids.app.cli; solids.app.cli.cli.main(['--help'], standalone_mode=False)",
        "import solids.app.cli; solids.app.cli.cli.main(['layout', 'tool-tray'], standalone_mode=False)",
        "import solids.app.cli; solids.app.cli.cli.main(['layout', 'tool-tray', '--json'], standalone_mode=False)",
        "import solids.app.cli; solids.app.cli.cli.main(['layout', 'desk-drawer', '--json'], standalone_mode=False)",
        f"import solids.app.cli; solids.app.cli.cli.main(['layout', 'tool-tray', '--set', {A_BOARD!r}], "
        "standalone_mode=False)",
        "import solids.aids.making.asked",
        "import solids.app.cli; solids.app.cli.cli.main(['presets'], standalone_mode=False)",
        "import solids.app.cli; solids.app.cli.cli.main(['schema', 'report'], standalone_mode=False)",
    ],
)
def test_quick_commands_load_nothing_heavy(run: str) -> None:
    code = f"{run}\nimport sys\nassert not [m for m in {HEAVY!r} if m in sys.modules], sorted(sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_a_build_does_without_cadquery_trimesh_and_vtk(tmp_path: Path) -> None:
    code = (
        "import solids, sys, pathlib\n"
        "job = solids.prove_layout(solids.lay_out(solids.read_recipe('tool-tray')))\n"
        f"solids.write_files(job, pathlib.Path({str(tmp_path)!r}))\n"
        "assert not [m for m in ('cadquery', 'trimesh', 'vtk', 'vtkmodules') if m in sys.modules]"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_the_api_keeps_what_it_promises() -> None:
    for name in solids.__all__:
        assert getattr(solids, name) is not None
    assert set(solids._HOMES) | {"__version__"} == set(solids.__all__)
    with pytest.raises(AttributeError):
        _ = solids.nothing_of_the_kind
