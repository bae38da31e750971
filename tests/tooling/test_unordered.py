"""The order of a set is the hash seed's, so nothing may go through one in turn: it is sorted, counted or asked.

What is a set is read off the code: literals, ``set(...)``, comprehensions, sums of sets, names that hold one, and
fields, parameters and functions that say so in their types. A set may be asked (``in``, comparisons), joined with
another, be the source of another set, or be given to what takes a set by its type, or to one of ``UNMOVED``, whose
answer does not depend on the order.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path

from tests.each import each

BUILDER = Path(__file__).resolve().parents[2] / "builder"
FILES = sorted(BUILDER.rglob("*.py"))
UNMOVED = {
    "sorted",
    "set",
    "frozenset",
    "len",
    "min",
    "max",
    "sum",
    "any",
    "all",
    "bool",
    "isinstance",
    "in_test_order",
}
ASKED = {
    "get",
    "__setattr__",
    "add",
    "update",
    "discard",
    "remove",
    "issubset",
    "issuperset",
    "isdisjoint",
    "clear",
    "difference_update",
}
JOINED = {"union", "intersection", "difference", "symmetric_difference", "copy"}
SET_TYPE = re.compile(r"(?:set|frozenset|AbstractSet)\[[^\[\]]*(?:\[[^\[\]]*\])*[^\[\]]*\](?: \| None)?")


def typed_as_set(annotation: ast.expr | None) -> bool:
    return annotation is not None and SET_TYPE.fullmatch(ast.unparse(annotation)) is not None


class Known:
    """What the types of the whole builder say."""

    def __init__(self, trees=()):
        sets, others = set(), set()
        self.takers = set()
        for node in (node for tree in trees for node in tree.parents):
            if isinstance(node, ast.ClassDef):
                fields = [part for part in node.body if isinstance(part, ast.AnnAssign)]
                for part in fields:
                    (sets if typed_as_set(part.annotation) else others).add(part.target.id)
                makers = [part for part in node.body if isinstance(part, ast.FunctionDef) and part.name == "__init__"]
                taken = [*fields, *(one for maker in makers for one in parameters(maker))]
                if any(typed_as_set(part.annotation) for part in taken):
                    self.takers.add(node.name)
            if isinstance(node, ast.FunctionDef):
                (sets if typed_as_set(node.returns) else others).add(node.name)
                if any(typed_as_set(one.annotation) for one in parameters(node)):
                    self.takers.add(node.name)
        self.sets = sets - others
        """Names of fields and functions that are sets wherever they stand."""


def parameters(function):
    return (*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs)


class Scope:
    """One function (or module): which of its names hold sets, and where one is gone through."""

    def __init__(self, nodes, parents, taken, known):
        self.known, self.parents = known, parents
        self.nodes = [node for node in nodes if isinstance(node, ast.expr)]
        self.names = {one.arg for one in taken if typed_as_set(one.annotation)}
        named = [node for node in nodes if isinstance(node, ast.Assign | ast.AnnAssign)]
        for _ in range(2):  # a name may be made of one that is told later
            for node in named:
                self._name(node)

    def _name(self, node):
        if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name) and typed_as_set(node.annotation):
            self.names.add(node.target.id)
        if isinstance(node, ast.AnnAssign):
            return
        if self.is_set(node.value):
            self.names |= {target.id for target in node.targets if isinstance(target, ast.Name)}
        if isinstance(node.targets[0], ast.Tuple) and isinstance(node.value, ast.Tuple):
            pairs = zip(node.targets[0].elts, node.value.elts, strict=False)
            self.names |= {target.id for target, value in pairs if isinstance(target, ast.Name) and self.is_set(value)}

    def is_set(self, node):
        match node:
            case ast.Set() | ast.SetComp():
                return True
            case ast.Name():
                return node.id in self.names
            case ast.Attribute():
                return node.attr in self.known.sets
            case ast.BinOp(op=ast.BitOr() | ast.BitAnd() | ast.Sub() | ast.BitXor()):
                return any(self.is_set(side) or keys_view(side) for side in (node.left, node.right))
            case ast.BoolOp():
                return any(self.is_set(value) for value in node.values)
            case ast.IfExp():
                return self.is_set(node.body) or self.is_set(node.orelse)
            case ast.Call(func=ast.Name()):
                return node.func.id in {"set", "frozenset"} | self.known.sets
            case ast.Call(func=ast.Attribute()):
                joined = node.func.attr in JOINED and self.is_set(node.func.value)
                return joined or node.func.attr in self.known.sets
            case _:
                return False

    def faults(self):
        """Every place where the order of a set is gone through."""
        for node in self.nodes:
            if self.is_set(node) and not isinstance(getattr(node, "ctx", None), ast.Store) and self.moved(node):
                yield node.lineno, ast.unparse(node)

    def moved(self, node):
        above = self.parents.get(node)
        if isinstance(above, ast.For):
            return above.iter is node
        if isinstance(above, ast.comprehension):
            made = self.parents[above]
            return above.iter is node and not isinstance(made, ast.SetComp) and not self.given_to(made, UNMOVED | ASKED)
        if isinstance(above, ast.Starred):
            whole = self.parents[above]
            return not isinstance(whole, ast.Set) and not self.given_to(whole, UNMOVED)
        if isinstance(above, ast.keyword):
            return not self.given_to(above, self.known.takers)
        return isinstance(above, ast.Call) and above.func is not node and not self.given_to(
            node, UNMOVED | ASKED | JOINED | self.known.takers
        )  # fmt: skip

    def given_to(self, node, names):
        above = self.parents.get(node)
        return isinstance(above, ast.Call) and called(above) in names


def keys_view(node):
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in {"keys", "items"}


def called(call):
    return call.func.id if isinstance(call.func, ast.Name) else getattr(call.func, "attr", "")


class Tree:
    """A module's nodes with what each stands in, gone through once."""

    def __init__(self, text):
        top = ast.parse(text)
        self.parents, self.own = {}, {}
        """Of a module or function, its nodes without those of functions inside it."""
        waiting = [(top, top)]
        while waiting:
            node, home = waiting.pop()
            if isinstance(node, ast.Module | ast.FunctionDef):
                self.own[node], home = [], node
            for child in ast.iter_child_nodes(node):
                if not isinstance(child, ast.expr_context):
                    self.parents[child] = node
                    self.own[home].append(child)
                    waiting.append((child, home))


def gone_through(tree, known):
    scopes = [
        Scope(nodes, tree.parents, parameters(home) if isinstance(home, ast.FunctionDef) else (), known)
        for home, nodes in tree.own.items()
    ]
    return sorted({fault for scope in scopes for fault in scope.faults()})


def test_no_order_of_a_set_is_gone_through():
    trees = {path.relative_to(BUILDER.parent): Tree(path.read_text(encoding="utf-8")) for path in FILES}
    known = Known(trees.values())
    told = [f"{path}:{line}: {found}" for path, tree in trees.items() for line, found in gone_through(tree, known)]
    assert not told, "sort these, or ask them without going through them:\n" + "\n".join(told)


@each(
    "text",
    [
        "models = set(fitted)\nlinks = book.links('model', models)",
        "def f():\n    for name in {'a', 'b'}:\n        yield name",
        "def f(names: frozenset[str]):\n    return tuple(names)",
        "text = ', '.join({name for name in names})",
        "row = [*(a.keys() & b.keys())]",
        "rows = [f(x) for x in set(y)]",
        "def f(x: set[str]):\n    y = x - {'a'}\n    return list(y)",
    ],
)
def test_an_order_that_the_seed_decides_is_seen(text):
    assert gone_through(Tree(text), Known())


@each(
    "text",
    [
        "models = set(fitted)\nlinks = book.links('model', sorted(models))",
        "found = {a for a in b}\ntold = [x for x in y if x in found]",
        "count = len(set(a)) + sum(1 for x in {1, 2})",
        "both = {x for x in set(a) | set(b)}",
        "kept = sorted(name for name in set(a))",
    ],
)
def test_what_does_not_depend_on_the_order_is_left_alone(text):
    assert gone_through(Tree(text), Known()) == []
