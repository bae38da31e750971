"""No module remembers anything of a program: what is made once travels with it, so two in one process stay apart.

Caches of pure functions (``functools.cache``) are no memory of a program as long as they hold what comes with the
builder or depends on plain values alone; a list or a mapping that a module fills while it works would be one.
"""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

BUILDER = Path(__file__).resolve().parents[2] / "builder"
OF_THE_CODE = {
    ("base/gc_pause.py", "_frozen"),
    ("figures/formulas/registry.py", "_formulas"),
    ("figures/formulas/registry.py", "_by_function"),
    ("render/workers.py", "_engine"),
}
"""Nothing of a program: formulas enter themselves while their modules are imported, one PDF engine stays warm in each
process, and how deep the search for garbage is narrowed belongs to the process."""


def kept(text):
    """Names of a module that hold a list, set or mapping which begins empty, and whatever is declared global."""
    tree = ast.parse(text)
    for node in tree.body:
        value = node.value if isinstance(node, (ast.Assign, ast.AnnAssign)) else None
        targets = node.targets if isinstance(node, ast.Assign) else [getattr(node, "target", None)]
        if begins_empty(value):
            yield from (target.id for target in targets if isinstance(target, ast.Name))
    for node in ast.walk(tree) if "global " in text else ():
        if isinstance(node, ast.Global):
            yield from node.names


def begins_empty(value):
    if isinstance(value, (ast.List, ast.Set)):
        return not value.elts
    if isinstance(value, ast.Dict):
        return not value.keys
    maker = value.func if isinstance(value, ast.Call) else None
    name = maker.id if isinstance(maker, ast.Name) else getattr(maker, "attr", "")
    makers = {
        "list",
        "dict",
        "set",
        "defaultdict",
        "Counter",
        "deque",
        "OrderedDict",
        "WeakKeyDictionary",
        "local",
        "ContextVar",
    }
    return name in makers


def test_no_module_keeps_what_it_saw():
    found = {
        (path.relative_to(BUILDER).as_posix(), name)
        for path in sorted(BUILDER.rglob("*.py"))
        for name in kept(path.read_text(encoding="utf-8"))
    }
    assert found == OF_THE_CODE


@pytest.mark.parametrize(
    "text", ["_kept = []", "last: dict[str, int] = {}", "def f():\n    global now", "seen = set()"]
)
def test_a_module_that_remembers_is_seen(text):
    assert list(kept(text))
