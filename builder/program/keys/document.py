"""The page of all keys, written from their families."""

from collections.abc import Iterable, Iterator
from itertools import groupby

from builder.program.keys.families import FAMILIES
from builder.program.keys.family import Family
from builder.program.keys.parts import PARTS

EXAMPLES = {part.name: part.example for part in PARTS}
HEAD = """\
# Figure keys

Every printed number has a dotted key. Prose and cards name a figure by it. This page is written from
`builder/program/keys` by `python -m builder.program.keys docs/keys.md`.

What stands between angle brackets differs from figure to figure:

| part | what | for example |
|---|---|---|
"""
TAIL = """
A figure is missing where the library or the content has no value for it.
"""


def example(family: Family) -> str:
    """A key of the family as it could stand in a handbook.

    >>> from builder.program.keys.families import HOSE_WAIT
    >>> example(HOSE_WAIT)
    'hose.wet-well.four-gas.wait'
    """
    return family(**{part: EXAMPLES[part] for part in family.parts})


def document() -> str:
    """All of it, as Markdown."""
    return "\n".join((HEAD + "\n".join(_parts()), *_groups(), TAIL))


def _parts() -> Iterator[str]:
    for part in PARTS:
        choices = f": {', '.join(f'`{choice}`' for choice in part.choices)}" if part.choices else ""
        yield f"| `<{part.name}>` | {part.meaning}{choices} | `{part.example}` |"


def _groups() -> Iterator[str]:
    def first(family: Family) -> str:
        return family.form.partition(".")[0]

    for word, group in groupby(sorted(FAMILIES, key=first), key=first):
        yield f"\n## {word}\n\n| key | what | unit | for example |\n|---|---|---|---|\n" + "\n".join(_rows(group))


def _rows(group: Iterable[Family]) -> Iterator[str]:
    for family in group:
        yield f"| `{family.form}` | {family.meaning} | {family.unit} | `{example(family)}` |"
