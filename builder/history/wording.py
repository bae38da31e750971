"""Changes of words: procedures step by step, alarm actions, the faces of cards."""

import re
from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher
from typing import TypeAlias

from builder.base.record import dataclass
from builder.history.edition import Edition, ProcedureTold

WORD = re.compile(r"\S+\s*")

Run: TypeAlias = tuple[str, str]
"""(``same``, ``out`` or ``in``, words)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TextChange:
    """One run of text that is worded otherwise, is new, or is gone."""

    subject: str
    """Reference such as ``procedure:bump-test`` or ``setpoint:pit.flammable.low``."""
    part: str
    """As in ``step 2`` or ``caution 1``."""
    before: str
    after: str
    runs: tuple[Run, ...]


def text_changes(old: Edition, new: Edition) -> Iterator[TextChange]:
    """Changes of procedures, then of what to do on alarm."""
    for name in sorted({*old.procedures, *new.procedures}):
        yield from _procedure(f"procedure:{name}", old.procedures.get(name), new.procedures.get(name))
    for name in sorted({*old.actions, *new.actions}):
        before, after = old.actions.get(name, ""), new.actions.get(name, "")
        if before != after:
            yield _change(f"setpoint:{name}", "what to do", before, after)


def _procedure(subject: str, old: ProcedureTold | None, new: ProcedureTold | None) -> Iterator[TextChange]:
    empty = ProcedureTold(title="", cautions=(), steps=())
    before, after = old or empty, new or empty
    if before.title != after.title:
        yield _change(subject, "title", before.title, after.title)
    yield from _lines(subject, "caution", before.cautions, after.cautions)
    yield from _lines(subject, "step", before.steps, after.steps)


def _lines(subject: str, part: str, old: Sequence[str], new: Sequence[str]) -> Iterator[TextChange]:
    for before, after, number in line_pairs(old, new):
        yield _change(subject, f"{part} {number}", before, after)


def line_pairs(old: Sequence[str], new: Sequence[str]) -> Iterator[tuple[str, str, int]]:
    """Lines that differ: before, after, number in the new run (in the old one where a line is gone)."""
    for kind, a1, a2, b1, b2 in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if kind == "equal":
            continue
        for shift in range(max(a2 - a1, b2 - b1)):
            before = old[a1 + shift] if a1 + shift < a2 else ""
            after = new[b1 + shift] if b1 + shift < b2 else ""
            yield before, after, (b1 if after else a1) + shift + 1


def _change(subject: str, part: str, before: str, after: str) -> TextChange:
    return TextChange(subject=subject, part=part, before=before, after=after, runs=word_runs(before, after))


def word_runs(before: str, after: str) -> tuple[Run, ...]:
    """Both texts as one run of words: what stays, what goes out, what comes in.

    >>> word_runs("Wait one minute.", "Wait two minutes.")
    (('same', 'Wait '), ('out', 'one minute.'), ('in', 'two minutes.'))
    """
    old, new = WORD.findall(before), WORD.findall(after)
    made: list[Run] = []
    plain = ([word.strip() for word in old], [word.strip() for word in new])
    for kind, a1, a2, b1, b2 in SequenceMatcher(None, *plain, autojunk=False).get_opcodes():
        if kind == "equal":
            made.append(("same", "".join(new[b1:b2])))
            continue
        made += [("out", "".join(old[a1:a2]))] if a2 > a1 else []
        made += [("in", "".join(new[b1:b2]))] if b2 > b1 else []
    return tuple(made)


def marked_text(runs: Sequence[Run]) -> str:
    """The same as plain text, with words out and words in marked by signs, not by colour.

    >>> marked_text((("same", "Wait "), ("out", "one"), ("in", "two")))
    'Wait [− one −][+ two +]'
    """
    signs = {"out": "−", "in": "+"}
    return "".join(
        words if kind == "same" else f"[{signs[kind]} {words.strip()} {signs[kind]}]" + words[len(words.rstrip()) :]
        for kind, words in runs
    ).strip()
