"""No key of a figure is spelled outside ``builder/program/keys``: every other module calls a family.

The house rule is held by reading the syntax tree of every module, since a key made by hand is a text like any other.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from builder.program.keys import families as declared
from builder.program.keys.families import FAMILIES
from builder.program.keys.family import PLACEHOLDER, Family
from tests.each import each

ROOT = Path(__file__).parents[2]
HOME = ROOT / "builder" / "program" / "keys"
ELSEWHERE = ("base", "load", "reference")
"""Parts that know no figures."""
FILES = (".csv", ".html", ".js", ".lock", ".md", ".notdef", ".pdf", ".po", ".sig", ".woff2", ".xlsx", ".yaml")
"""Endings of files, and the one name of a glyph; no key ends so."""
WORD, DOTTED = frozenset("abcdefghijklmnopqrstuvwxyz0123456789-"), frozenset("abcdefghijklmnopqrstuvwxyz0123456789-.")
NO_KEYS = {
    ("builder/pages/compositions.py", 'f"{self.id}.{self.variant}"'): "file name of a card",
    ("builder/pages/forms.py", 'f"{self.id}.{self.language}"'): "file name of a form",
    ("builder/pages/handbook/cards.py", 'f"{card.name}.{given.value}"'): "file name of a card",
    ("builder/pages/handbook/sections.py", 'f"{parts[0]}.{parts[1]}.rows-{first}"'): "group of figures, no figure",
    ("builder/pages/texts.py", 'f"{area.id}.{entry.channel.value}.{name}"'): "name of an action",
    ("builder/findings/order.py", 'f"{rules.__name__}.{found.name}"'): "module of a rule",
    ("builder/pages/cards/composers.py", 'f"{blocks.__name__}.{found.name}"'): "module of a block",
    ("builder/figures/formulas/registry.py", 'f"{__package__}.{topic}"'): "module of formulas",
    ("builder/figures/formulas/registry.py", "f\"{topic}.{function.__name__.replace('_', '-')}\""): "id of a formula",
    ("builder/render/book_marker.py", 'f"{self.chapter}.{self.number}"'): "number of a section",
    ("builder/starters/setpoints.py", 'f"{name}.{kind}"'): "name of a limit",
    ("builder/starters/files.py", '".schema"'): "hidden folder",
    ("builder/program/record_rows.py", 'f"{sensor}.{name}"'): "field of a row with columns for each sensor",
    ("builder/program/table_guesses.py", 'f"{sensor}.{name}"'): "the same",
    ("builder/program/schema.py", 'f"{name}.json"'): "file name of a schema",
    ("builder/publish/unfinished.py", 'f"{out.name}.{kind}-{secrets.token_hex(8)}"'): "folder while it is written",
    ("builder/release/release.py", 'f"{site.name}.{COPY}"'): "folder of a copy",
    **{("builder/verify/again.py", f'"{ending}"'): "ending of a file" for ending in (".css", ".ics", ".json", ".txt")},
}
"""(module, text) that has dots and is no key -> what it is."""

Token = tuple[frozenset[str], bool]
"""(letters it may be, whether it may be left out or said again)."""


def tokens(pieces: list[str | None], filling: frozenset[str]) -> list[Token]:
    """Letters, with ``filling`` once or more in place of ``None``."""
    made: list[Token] = []
    for piece in pieces:
        made += [(filling, False), (filling, True)] if piece is None else [(frozenset(sign), False) for sign in piece]
    return made


FORMS = [
    tokens([None if at % 2 else text for at, text in enumerate(PLACEHOLDER.split(family.form))], WORD)
    for family in FAMILIES
]
STARTS = {start for family in FAMILIES if "." in (start := family.form.partition("<")[0].rpartition(".")[0])}


def meet(one: list[Token], other: list[Token]) -> bool:
    """Whether some text is both."""
    if not (one[0][0] & other[0][0] and one[-1][0] & other[-1][0]):
        return False  # they begin or end otherwise; what may be left out at the end stands before it too
    seen, waiting = set(), [(0, 0)]
    while waiting:
        at, there = waiting.pop()
        if (at, there) in seen:
            continue
        seen.add((at, there))
        if at == len(one) and there == len(other):
            return True
        if at < len(one) and one[at][1]:
            waiting.append((at + 1, there))
        if there < len(other) and other[there][1]:
            waiting.append((at, there + 1))
        if at < len(one) and there < len(other) and one[at][0] & other[there][0]:
            waiting.append((at if one[at][1] else at + 1, there if other[there][1] else there + 1))
    return False


WHOLE = re.compile(
    "|".join(
        "".join("[a-z0-9-]+" if at % 2 else re.escape(text) for at, text in enumerate(PLACEHOLDER.split(family.form)))
        for family in FAMILIES
    )
)


def could_be_key(pieces: list[str | None]) -> bool:
    text = "".join(piece or "" for piece in pieces)
    if "." not in text or not DOTTED.issuperset(text) or text.endswith(FILES):
        return False
    if None not in pieces:
        return WHOLE.fullmatch(text) is not None
    return any(meet(tokens(pieces, DOTTED), form) for form in FORMS)


def spells(node: ast.AST) -> bool:
    """Whether a node spells a key, its beginning or its end."""
    if isinstance(node, ast.JoinedStr):
        pieces = [part.value if isinstance(part, ast.Constant) else None for part in node.values]
        start = "".join(piece or "" for piece in pieces)
        return could_be_key(pieces) or (start.endswith(".") and start != "." and could_be_key([*pieces, None]))
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        text = node.value
        ends = text.endswith((".", "-")) and could_be_key([text, None])
        begins = text.startswith(".") and could_be_key([None, text])
        return could_be_key([text]) or ends or begins or text in STARTS
    if (
        isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in ("under", "keys_under")
    ):
        return any(isinstance(given, ast.Constant) for given in node.args)
    return False


def spelled(path: Path) -> Iterator[tuple[str, str]]:
    source = path.read_text(encoding="utf-8")
    tree = ast.parse(source)
    nodes = [*ast.walk(tree)]
    told = {id(node.value) for node in nodes if isinstance(node, ast.Expr)}
    joined = [node for node in nodes if isinstance(node, ast.JoinedStr)]
    parts = {id(part) for node in joined for part in ast.walk(node)} - {id(node) for node in joined}
    for node in nodes:
        if id(node) not in told | parts and spells(node):
            yield path.relative_to(ROOT).as_posix(), ast.get_source_segment(source, node) or ""


def modules() -> list[Path]:
    outside = (HOME, *(ROOT / "builder" / name for name in ELSEWHERE))
    found = sorted((ROOT / "builder").rglob("*.py"))
    return [path for path in found if not any(path.is_relative_to(one) for one in outside)]


def test_no_key_is_spelled_outside_its_home():
    found = [place for path in modules() for place in spelled(path)]
    assert [place for place in found if place not in NO_KEYS] == []
    assert set(NO_KEYS) <= set(found)


@each(
    "source",
    [
        'f"gas.{gas}.lel"',
        'f"{key}.lel"',
        'f"{start}.{end}"',
        '"site.pressure"',
        '"reading.at-" + name',
        'key + ".protects"',
        'f"setpoint.{area}."',
        '"oxygen.after"',
        'ledger.under("records")',
        'f"window.{cylinder}.{sensor}.{check}.{end}"',
    ],
)
def test_a_key_made_by_hand_is_found(source):
    assert any(spells(node) for node in ast.walk(ast.parse(source)))


@each(
    "source", ['f"area:{area.id}"', 'f"{name}.pdf"', '"a sentence. Another"', 'f"{count} of {all}"', '"gas.molar-mass"']
)
def test_other_texts_are_left_alone(source):
    assert not any(spells(node) for node in ast.walk(ast.parse(source)))


def named(node: ast.AST) -> str | None:
    """The name of a family, imported by itself or with its module."""
    return node.id if isinstance(node, ast.Name) else node.attr if isinstance(node, ast.Attribute) else None


def test_families_are_called_by_their_parts():
    """A call in a line that no test runs would fail only in a handbook."""
    families = {name: family for name, family in vars(declared).items() if isinstance(family, Family)}
    texts = {path: path.read_text(encoding="utf-8") for path in sorted((ROOT / "builder").rglob("*.py"))}
    one_of_them = re.compile("|".join(map(re.escape, families)))
    calls = [
        (path.name, node)
        for path, text in texts.items()
        if one_of_them.search(text)
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Call) and named(node.func) in families
    ]
    plain = [(name, call) for name, call in calls if all(given.arg for given in call.keywords)]
    assert len(plain) > 200
    wrong = [
        (name, call.lineno)
        for name, call in plain
        if call.args or {given.arg for given in call.keywords} != set(families[named(call.func)].parts)
    ]
    assert wrong == []


def test_every_family_is_used_where_figures_are_made():
    """A family that nobody makes would be documented for nothing."""
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in (ROOT / "builder" / "figures").rglob("*.py")]
    used = {named(node) for tree in trees for node in ast.walk(tree)}
    assert [name for name, family in vars(declared).items() if isinstance(family, Family) and name not in used] == []
