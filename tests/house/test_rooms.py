"""The house: rooms import only what lies before them, and each library has one door."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

CODE = Path(__file__).resolve().parents[2] / "generator" / "plybook"

#: What each room may import of ours. What lies below all rooms is listed under "".
MAY_IMPORT = {
    "": set(),
    "text": {""},
    "board": {"", "text"},
    "course": {"", "text", "board"},
    "site": {"", "text", "board", "course"},
    "desk": {"", "text", "board", "course", "site"},
}

#: The site is divided again. What each part may import of the others; "" is site/ itself.
PARTS_OF_SITE = {
    "": set(),
    "drawing": {""},
    "wording": {""},
    "pictures": {""},
    "inspection": {""},
    "publishing": {""},
    "pages": {"", "drawing", "wording", "pictures"},
    "paper": {"", "drawing", "wording", "pages"},
    "handouts": {"", "drawing", "wording", "pictures", "publishing", "pages"},
}

#: The rooms where a library may be imported; a module is named where only that one may.
DOORS = {
    "chess": ("board/",),
    "markdown_it": ("text/", "site/wording/prose.py"),
    "mdit_py_plugins": ("text/",),
    "jinja2": ("site/",),
    "markupsafe": ("site/",),
    "yaml": ("text/",),
    "msgspec": ("text/",),
    "click": ("desk/",),
    "weasyprint": ("site/paper/pdf.py",),
    "resvg_py": ("site/handouts/",),
}

MODULES = sorted(path.relative_to(CODE).as_posix() for path in CODE.rglob("*.py"))


def imported(module: str) -> Iterator[tuple[str, int]]:
    """Yield the dotted names a module imports, with their lines."""
    tree = ast.parse((CODE / module).read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((alias.name, node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module}:{node.lineno}: a relative import"
            yield node.module or "", node.lineno
            if node.module == "plybook":
                yield from ((f"plybook.{alias.name}", node.lineno) for alias in node.names)


def room_of(dotted: str) -> str:
    """Return the room of a module of ours, "" for what lies below the rooms."""
    parts = dotted.split(".")
    return parts[1] if len(parts) > 1 and parts[1] in MAY_IMPORT else ""


@pytest.mark.parametrize("module", MODULES)
def test_a_room_imports_only_rooms_before_it(module: str) -> None:
    room = module.split("/")[0] if "/" in module else ""
    if module == "__main__.py":
        pytest.skip("the front door opens into the desk; nothing imports it")
    for name, line in imported(module):
        if name.split(".")[0] == "plybook":
            other = room_of(name)
            assert other == room or other in MAY_IMPORT[room], (
                f"{module}:{line}: {room or 'the ground floor'} may not import {name}"
            )


@pytest.mark.parametrize("module", [name for name in MODULES if name.startswith("site/")])
def test_a_part_of_the_site_imports_only_what_it_may(module: str) -> None:
    part = module.split("/")[1] if module.count("/") > 1 else ""
    for name, line in imported(module):
        if name.startswith("plybook.site."):
            other = name.split(".")[2] if name.split(".")[2] in PARTS_OF_SITE else ""
            assert other == part or other in PARTS_OF_SITE[part], (
                f"{module}:{line}: site/{part} may not import {name}"
            )


@pytest.mark.parametrize("module", MODULES)
def test_a_library_is_imported_through_its_door(module: str) -> None:
    for name, line in imported(module):
        doors = DOORS.get(name.split(".")[0])
        assert doors is None or module.startswith(doors), (
            f"{module}:{line}: {name} is imported outside {' and '.join(doors)}"
        )


def test_every_library_of_the_project_has_a_door() -> None:
    """A new dependency gets a row in DOORS before it is used."""
    import tomllib

    project = tomllib.loads((CODE.parents[1] / "pyproject.toml").read_text(encoding="utf-8"))
    import_names = {"markdown-it-py": "markdown_it", "pyyaml": "yaml"}
    for requirement in project["project"]["dependencies"]:
        name = requirement.split(">")[0].split("[")[0].strip()
        assert import_names.get(name, name.replace("-", "_")) in DOORS


@pytest.mark.parametrize("module", MODULES)
def test_modules_and_functions_stay_small(module: str) -> None:
    """At most 400 lines a module and 50 a function, docstring and signature included."""
    text = (CODE / module).read_text(encoding="utf-8")
    assert text.count("\n") <= 400, f"{module} has {text.count(chr(10))} lines"
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef):
            assert node.end_lineno is not None
            length = node.end_lineno - node.lineno + 1
            assert length <= 50, f"{module}:{node.lineno}: {node.name} has {length} lines"


#: The board's modules that hold no chess object: the others are reached through plybook.board.
OPEN_MODULES = {
    "plybook.board",
    "plybook.board.model",
    "plybook.board.claims",
    "plybook.board.exercises",
    "plybook.board.exercises.model",
}


@pytest.mark.parametrize("module", MODULES)
def test_nothing_outside_the_board_holds_chess_objects(module: str) -> None:
    if module.startswith("board/"):
        return
    for name, line in imported(module):
        assert not name.startswith("plybook.board") or name in OPEN_MODULES, (
            f"{module}:{line}: take it from plybook.board, not from {name}"
        )


def test_dataclasses_that_cross_doors_are_frozen() -> None:
    """Every dataclass of a model or view module is frozen."""
    for module in MODULES:
        if module.rpartition("/")[2] not in {"model.py", "views.py"}:
            continue
        tree = ast.parse((CODE / module).read_text(encoding="utf-8"))
        for node in tree.body:
            if not isinstance(node, ast.ClassDef):
                continue
            for decorator in node.decorator_list:
                if isinstance(decorator, ast.Call) and ast.unparse(decorator.func) == "dataclass":
                    settings = {word.arg: ast.unparse(word.value) for word in decorator.keywords}
                    assert settings.get("frozen") == "True", f"{module}: {node.name}"
