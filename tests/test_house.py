"""The rules of the house, checked by machine: sizes, the one way through the rooms, a room for each library."""

from __future__ import annotations

import ast
import graphlib
import statistics
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parent.parent / "tco"
MODULES = sorted(PACKAGE.rglob("*.py"))

LINES_OF_A_MODULE = 400
LINES_OF_A_FUNCTION = 60
USUAL_FUNCTION = 10

SHARED = {
    "addresses",
    "ranges",
    "study",
    "settings",
    "delivery",
    "electricity",
    "gear",
    "ledger",
    "past",
    "purchase",
    "cell",
    "units",
    "errors",
    "places",
    "stops",
    "journal",
    "whole",
}  # what every room may use
ROOMS = {
    "read": set(),
    "engine": set(),
    "model": {"engine"},
    "start": {"read"},
    "ask": {"engine", "model", "read"},  # of read only types, see below
    "write": {"engine", "model", "ask"},
}
ONLY_TYPES = {("ask", "read")}
SHARED_MAY_USE = SHARED  # the shared modules use each other, and no room
OPEN = {"cli", "api", "", "__main__"}  # these join the rooms together

LIBRARIES = {
    "pint": {"units.py"},
    "openpyxl": {"read/", "write/edited.py"},
    "xlsxwriter": {"write/"},
    "pandas": {"read/", "write/"},
    "numpy_financial": {"ask/"},
    "scipy": {"model/shelf.py", "ask/"},
    "jinja2": {"write/page_to_send/"},
    "wcwidth": {"write/lines.py"},
}


def name(path: Path) -> str:
    """A module as messages name it."""
    return path.relative_to(PACKAGE).as_posix()


def room(path: Path) -> str:
    """The room a module stands in, or its own name beside the rooms; empty for the package itself."""
    first = path.relative_to(PACKAGE).parts[0].removesuffix(".py")
    return "" if first == "__init__" else first


def functions(path: Path) -> Iterator[tuple[str, int]]:
    """Each function of a module with its lines of code, docstring left out."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            body = node.body[1:] if ast.get_docstring(node, clean=False) is not None else node.body
            lines = body[-1].end_lineno - body[0].lineno + 1 if body else 0
            yield f"{name(path)}:{node.lineno} {node.name}", lines


def imports(path: Path) -> Iterator[tuple[str, bool]]:
    """Each module that a module imports, wherever in it, and whether only for the type checker."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    typing = {
        inner
        for node in ast.walk(tree)
        if isinstance(node, ast.If) and ast.unparse(node.test) in ("TYPE_CHECKING", "typing.TYPE_CHECKING")
        for inner in ast.walk(node)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((alias.name, node in typing) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{name(path)}: imports are written in full"
            yield node.module or "", node in typing
            yield from ((f"{node.module}.{alias.name}", node in typing) for alias in node.names)


def own_imports(path: Path) -> Iterator[tuple[str, bool]]:
    """The rooms and shared modules of ours that a module imports."""
    for module, typing in imports(path):
        parts = module.split(".")
        if parts[0] == "tco" and len(parts) > 1 and is_ours(parts[1]):
            yield parts[1], typing


def is_ours(part: str) -> bool:
    """Whether `tco.part` is a module or a room, and not a name of the package."""
    return (PACKAGE / part).is_dir() or (PACKAGE / f"{part}.py").is_file()


def test_there_is_something_to_check():
    assert len(MODULES) > 10
    assert {"engine", "units"} <= {room(path) for path in MODULES}


def test_no_module_grows_past_the_limit():
    sizes = {name(path): len(path.read_text(encoding="utf-8").splitlines()) for path in MODULES}
    long = {path: lines for path, lines in sizes.items() if lines > LINES_OF_A_MODULE}
    assert not long, f"split these by subject: {long}"


def test_no_function_grows_past_the_limit():
    long = {where: lines for path in MODULES for where, lines in functions(path) if lines > LINES_OF_A_FUNCTION}
    assert not long, f"split these: {long}"


def test_the_usual_function_is_short():
    assert statistics.median(lines for path in MODULES for _, lines in functions(path)) <= USUAL_FUNCTION


@pytest.mark.parametrize("path", MODULES, ids=name)
def test_imports_go_one_way(path):
    here = room(path)
    if here in OPEN:
        return
    allowed = ROOMS[here] | SHARED | {here} if here in ROOMS else SHARED_MAY_USE
    for other, typing in own_imports(path):
        assert other in allowed, f"{name(path)} imports {other}; it may use {', '.join(sorted(allowed))}"
        assert typing or (here, other) not in ONLY_TYPES, (
            f"{name(path)} imports {other}, of which it may use types only"
        )


def test_no_modules_go_in_circles():
    """Imports within functions count: a circle that is cut by one of them is a circle all the same."""
    modules = {".".join(("tco", *path.relative_to(PACKAGE).with_suffix("").parts)): path for path in MODULES}
    plain = {module.removesuffix(".__init__"): path for module, path in modules.items()}
    needs = {
        module: {
            other
            for other, typing in imports(path)
            if other in plain and not typing and other not in (module, *above(module))
        }
        for module, path in plain.items()
    }
    assert list(graphlib.TopologicalSorter(needs).static_order())  # raises CycleError, which names the circle


def above(module: str) -> list[str]:
    """The packages that a module stands in, which Python imports anyway."""
    parts = module.split(".")
    return [".".join(parts[:count]) for count in range(1, len(parts))]


@pytest.mark.parametrize("path", MODULES, ids=name)
def test_every_outside_library_has_its_room(path):
    for module, typing in imports(path):
        places = LIBRARIES.get(module.split(".")[0])
        fits = places is None or typing or any(name(path).startswith(place) for place in places)
        assert fits, f"{name(path)} imports {module}; that belongs in {', '.join(sorted(places))}"


@pytest.mark.parametrize("path", MODULES, ids=name)
def test_every_module_says_what_it_is_for(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert not tree.body or ast.get_docstring(tree)
