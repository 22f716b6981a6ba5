"""No file imports another in a circle: not for types, and not inside functions either."""

import ast
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1] / "pourdeck"
FILES = {
    ".".join(path.relative_to(ROOT.parent).with_suffix("").parts): path
    for path in ROOT.rglob("*.py")
    if path.name != "__init__.py"
}


def imports(path: Path) -> Iterator[str]:
    """The files of ours that a file imports, wherever in it that stands."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            for name in node.names:
                yield from {node.module, f"{node.module}.{name.name}"} & FILES.keys()
        elif isinstance(node, ast.Import):
            yield from {name.name for name in node.names} & FILES.keys()


def test_the_deck_has_no_circle() -> None:
    graph = {
        name: set(imports(path)) - {name}
        for name, path in FILES.items()
        if name.startswith("pourdeck.deck.")
    }
    try:
        tuple(TopologicalSorter(graph).static_order())
    except CycleError as circle:
        pytest.fail(f"in a circle: {' imports '.join(circle.args[1])}")


def test_a_circle_would_be_seen() -> None:
    assert "pourdeck.deck.shell" in set(imports(FILES["pourdeck.deck.desk_shell"]))
