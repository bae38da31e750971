"""The sandbox of templates: no file, call, arithmetic or attribute, nothing that keeps a value, and bounded loops."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jinja2.sandbox import SandboxedEnvironment

FILTERS = ("join", "sort", "first", "last", "length", "lower", "upper", "capitalize", "unique", "default", "list",
           "selectattr", "rejectattr", "map")  # fmt: skip
"""The filters there are: none that computes, sets a number or makes text grow."""
MOST_ROUNDS = 100_000
"""Rounds that all loops of a template may make together."""
COUNTED = "counted-rounds"
LONGEST_JOIN = 20
"""Characters that may stand between two words that are joined."""
KINDS = frozenset(
    (
        *("Template", "Output", "TemplateData", "For", "If", "CondExpr", "Name", "Const", "Getattr", "Getitem"),
        *("Filter", "Test", "Compare", "Operand", "And", "Or", "Not", "Concat", "List", "Tuple", "Keyword"),
    )
)
"""Parts of the template language that there are: none keeps a value, so nothing grows from one round to the next."""
SPECIAL = re.compile(r"([\\`*_\[\]<>|#])")


def within_bounds(body: str) -> Any:
    """A template of nothing but what may stand in one, whose loops go round a bounded number of times together.

    :raises TemplateSyntaxError: for whatever computes, calls, reads, or keeps what could grow.
    """
    from jinja2 import TemplateSyntaxError, nodes  # noqa: PLC0415 - loaded by now

    sandbox = _sandbox()
    tree = sandbox.parse(body)
    for node in tree.find_all(nodes.Node):
        if type(node).__name__ not in KINDS:
            raise TemplateSyntaxError(_refusal(node), node.lineno)
    rounds = iter(range(MOST_ROUNDS))
    for loop in tree.find_all(nodes.For):
        loop.iter = nodes.Filter(loop.iter, COUNTED, [], [], None, None, lineno=loop.lineno)
    sandbox.filters[COUNTED] = lambda every: _counted(every, rounds)
    return sandbox.from_string(tree)


def _refusal(node: Any) -> str:
    kind = type(node).__name__
    if kind in ("Call", "CallBlock", "Macro"):
        return "a call; a template calls nothing"
    if kind in ("Include", "Import", "FromImport", "Extends", "Block"):
        return "another file; a template reads none"
    sign = getattr(node, "operator", "")
    if sign:
        return f"'{sign}' computes; every number of a handbook is calculated by the builder"
    return f"{'set' if kind.startswith('Assign') else kind.lower()} is not among what a template may use"


def _counted(every: Iterable[object], rounds: Iterator[int]) -> Iterator[object]:
    for one in every:
        if next(rounds, None) is None:
            raise ValueError(f"its loops go round more than {MOST_ROUNDS} times")
        yield one


@cache
def _sandbox() -> SandboxedEnvironment:
    """An environment that reads no file, calls nothing, computes nothing and reaches nothing but what it is given."""
    from jinja2 import StrictUndefined  # noqa: PLC0415 - loaded at first need
    from jinja2.exceptions import SecurityError  # noqa: PLC0415 - as above
    from jinja2.ext import Extension  # noqa: PLC0415 - as above
    from jinja2.lexer import Token  # noqa: PLC0415 - as above
    from jinja2.runtime import LoopContext  # noqa: PLC0415 - as above
    from jinja2.sandbox import ImmutableSandboxedEnvironment  # noqa: PLC0415 - as above

    class Marked(Extension):
        """Marks every line of a template's own words with its number."""

        def filter_stream(self, stream: Any) -> Any:
            for token in stream:
                if token.type == "data":
                    numbered = enumerate(token.value.splitlines(keepends=True), start=token.lineno)
                    marked = (f"\x02{number}\x03{words}" for number, words in numbered)
                    yield Token(token.lineno, "data", "".join(marked))
                else:
                    yield token

    class Sandbox(ImmutableSandboxedEnvironment):
        intercepted_binops = frozenset(ImmutableSandboxedEnvironment.default_binop_table)
        intercepted_unops = frozenset(ImmutableSandboxedEnvironment.default_unop_table)

        def call_binop(self, context: Any, operator: str, left: Any, right: Any) -> Any:  # noqa: ARG002
            raise SecurityError(f"'{operator}' computes; every number of a handbook is calculated by the builder")

        def call_unop(self, context: Any, operator: str, arg: Any) -> Any:  # noqa: ARG002
            raise SecurityError(f"'{operator}' computes; every number of a handbook is calculated by the builder")

        def is_safe_callable(self, obj: Any) -> bool:  # noqa: ARG002
            return False

        def getattr(self, obj: Any, attribute: str) -> Any:
            return self.getitem(obj, attribute)

        def getitem(self, obj: Any, argument: Any) -> Any:
            if isinstance(obj, LoopContext) and argument in ("index", "first", "last", "length"):
                return getattr(obj, argument)
            if isinstance(obj, (dict, list, str)):
                try:
                    return obj[argument]
                except (TypeError, LookupError):
                    pass
            return self.undefined(obj=obj, name=argument)

    made = Sandbox(
        undefined=StrictUndefined,
        finalize=_escaped,
        extensions=[Marked],
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.globals.clear()
    made.filters = {name: made.filters[name] for name in FILTERS} | {"join": _joined}
    made.filters |= {name: _of_words(made.filters[name]) for name in ("lower", "upper", "capitalize")}
    return made


def _joined(words: Iterable[object], between: str = "") -> str:
    """Words in a row."""
    every = list(words)
    if not all(isinstance(word, str) for word in (*every, between)) or len(between) > LONGEST_JOIN:
        raise TypeError(f"join takes words, and at most {LONGEST_JOIN} characters between them")
    return between.join(str(word) for word in every)


def _of_words(change: Callable[[str], str]) -> Callable[[object], str]:
    def changed(word: object) -> str:
        if not isinstance(word, str):
            raise TypeError("a list or mapping where a word was expected")
        return change(word)

    return changed


def _escaped(value: object) -> str:
    """A value as plain words, whatever signs of prose stand in it; on one line. What is undefined says so.

    :raises TypeError: for a number, which would be none that the builder calculated, and for a list or mapping.
    """
    from jinja2 import Undefined  # noqa: PLC0415 - loaded by now

    if not isinstance(value, (str, Undefined)):
        what = "a number that is no figure" if isinstance(value, int) else "a list or mapping where a word was expected"
        raise TypeError(what)
    return SPECIAL.sub(r"\\\1", " ".join(str(value).split()))
