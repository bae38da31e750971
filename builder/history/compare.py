"""How two editions differ, figure by figure and word by word, and what made each figure move."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import TypeAlias

from builder.base.record import dataclass
from builder.history.edition import CardTold, Edition, RecordedFigure, RecordedInput
from builder.history.wording import TextChange, text_changes

PASSING = re.compile(
    r"handbook\.as-of|card\.issued|revision\.\d+\.effective|unit\.[^.]+\.[^.]+\.last|(?:.+\.)?reviewed"
)
"""Figures that move with the calendar and with work done; what moves only because of them is no change of substance."""
COMES_AND_GOES = re.compile(r"unit\.[^.]+\.[^.]+\.(?:last|due)|revision\.\d+\.effective")
"""Figures whose coming or going alone says only that work was done, or that a revision was released."""
RECORDS = "records/"

Pair: TypeAlias = tuple[RecordedFigure, RecordedFigure]


@dataclass(frozen=True, slots=True, order=True)
class Cause:
    """Why a figure is another one now."""

    kind: str
    """``content``, ``table``, ``formula``, ``rounding``, ``made from``, ``source`` or ``day``."""
    place: str
    """Content line, citation, or id of a formula."""
    before: str
    after: str
    figure: str
    """Key of the figure on which it bears directly; what is made of it moved along."""

    def __str__(self) -> str:
        moved = f": {self.before or 'none'} → {self.after or 'none'}" if self.before != self.after else ""
        return f"{self.kind} {self.place}".strip() + moved


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One figure that was added, was removed, changed, or has another derivation with the same value."""

    key: str
    label: str
    kind: str
    """``added``, ``removed``, ``changed``, ``exact`` (prints the same, moved before rounding) or ``derived`` (same
    value, another derivation)."""
    before: str
    after: str
    causes: tuple[Cause, ...]
    passing: bool
    """True for what only the calendar, or work done as planned, has moved."""
    pages: tuple[str, ...]
    cards: tuple[str, ...]
    """Ids of the pocket cards that print it in either edition."""
    documents: tuple[str, ...]
    """Forms and sheets of labels that print it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EditionComparison:
    """Everything that differs between two editions."""

    before: str
    after: str
    changes: tuple[Change, ...]
    texts: tuple[TextChange, ...]

    @property
    def seen(self) -> tuple[Change, ...]:
        """Changes of substance that a reader of paper sees."""
        return tuple(change for change in self.substance if change.kind in ("added", "removed", "changed"))

    @property
    def substance(self) -> tuple[Change, ...]:
        """Changes that somebody decided."""
        return tuple(change for change in self.changes if not change.passing)

    @property
    def passing(self) -> tuple[Change, ...]:
        """Changes that came with the calendar."""
        return tuple(change for change in self.changes if change.passing)


def compare(old: Edition, new: Edition) -> EditionComparison:
    """What is different in ``new``."""
    finder = _Finder(old, new)
    return EditionComparison(
        before=old.name, after=new.name, changes=tuple(finder.changes()), texts=tuple(text_changes(old, new))
    )


def same_value(old: RecordedFigure, new: RecordedFigure) -> bool:
    """Whether a figure prints and is the same, whatever its derivation."""
    return (old.printed, old.exact) == (new.printed, new.exact)


def same_derivation(old: RecordedFigure, new: RecordedFigure) -> bool:
    """Whether a figure rests on the same formula, rounding and source."""
    names = ("formula", "expression", "rounding", "source")
    return all(getattr(old, name) == getattr(new, name) for name in names)


class _Finder:
    """Finds changes, and follows each through its inputs to the causes."""

    def __init__(self, old: Edition, new: Edition) -> None:
        self._old, self._new = old.figures, new.figures
        self._known: dict[str, tuple[Cause, ...]] = {}

    def changes(self) -> Iterator[Change]:
        for key in sorted({*self._old, *self._new}):
            old, new = self._old.get(key), self._new.get(key)
            if old is None or new is None:
                told = old or new
                assert told is not None  # noqa: S101 - the key came from one of the two
                yield self._one_sided(told, added=old is None)
            elif not same_value(old, new):
                causes = self._causes(key)
                exact = old.printed == new.printed
                kind = "exact" if exact else "changed"
                yield self._change(key, kind, (old, new), causes, passing=self._is_passing(key, causes))
            elif not same_derivation(old, new):
                yield self._change(key, "derived", (old, new), tuple(_own(old, new)), passing=False)

    def _change(self, key: str, kind: str, pair: Pair, causes: tuple[Cause, ...], *, passing: bool) -> Change:
        old, new = pair
        before, after = (f"{t.printed} (exactly {t.exact})" if kind == "exact" else t.printed for t in pair)
        where = places_of((*old.printed_on, *new.printed_on))
        return Change(
            key=key, label=new.label, kind=kind, before=before, after=after, causes=causes, passing=passing, **where
        )

    def _one_sided(self, told: RecordedFigure, *, added: bool) -> Change:
        causes = tuple(
            Cause("content", part.where, "" if added else part.text, part.text if added else "", told.key)
            for part in told.parts
            if part.where
        )
        return Change(
            key=told.key,
            label=told.label,
            kind="added" if added else "removed",
            before="" if added else told.printed,
            after=told.printed if added else "",
            causes=causes,
            passing=bool(COMES_AND_GOES.fullmatch(told.key)),
            **places_of(told.printed_on),
        )

    @staticmethod
    def _is_passing(key: str, causes: tuple[Cause, ...]) -> bool:
        if PASSING.fullmatch(key):
            return True
        return bool(causes) and all(
            PASSING.fullmatch(cause.figure) or cause.place.startswith(RECORDS) for cause in causes
        )

    def _causes(self, key: str) -> tuple[Cause, ...]:
        """The causes of a changed figure, found once; inputs never lead back, so this ends."""
        if key not in self._known:
            old, new = self._old[key], self._new[key]
            found = dict.fromkeys((*_own(old, new), *self._of_parts(old, new)))
            self._known[key] = tuple(found) or (Cause("day", "", "", "", key),)
        return self._known[key]

    def _of_parts(self, old: RecordedFigure, new: RecordedFigure) -> Iterator[Cause]:
        renamed = {part.figure: part.label for part in new.parts if part.figure}
        before, after = _by_label(old.parts, renamed), _by_label(new.parts, {})
        for label in dict.fromkeys((*before, *after)):
            yield from self._of_part(label, before.get(label), after.get(label), new.key)

    def _of_part(
        self, label: tuple[str, int], old: RecordedInput | None, new: RecordedInput | None, key: str
    ) -> Iterator[Cause]:
        if old is None or new is None:
            part = old or new
            if part is not None and part.decides:
                kind = "content" if part.where else "made from"
                place = part.where or label[0]
                yield Cause(kind, place, old.text if old else "", new.text if new else "", key)
        elif old.figure != new.figure:
            yield Cause("made from", label[0], old.figure or old.text, new.figure or new.text, key)
        elif old.figure and new.decides:
            pair = self._old.get(old.figure), self._new.get(new.figure)
            if pair[0] is not None and pair[1] is not None and not same_value(pair[0], pair[1]):
                yield from self._causes(old.figure)
        elif old.text != new.text and new.decides:
            place = new.where or new.source or label[0]
            yield Cause(
                "content" if new.where else "table" if new.source else "made from", place, old.text, new.text, key
            )
        elif old.source != new.source:
            yield Cause("table", new.source or label[0], old.source, new.source, key)


def _own(old: RecordedFigure, new: RecordedFigure) -> Iterator[Cause]:
    """What differs in the figure itself, apart from its inputs."""
    key = new.key
    if old.formula != new.formula:
        yield Cause("formula", new.formula, old.formula, new.formula, key)
    elif old.expression != new.expression:
        yield Cause("formula", new.formula, old.expression, new.expression, key)
    if old.rounding != new.rounding:
        yield Cause("rounding", "", old.rounding, new.rounding, key)
    if old.formula == new.formula and old.source != new.source and not any(part.source for part in new.parts):
        yield Cause("source", "", old.source, new.source, key)


def _by_label(parts: Iterable[RecordedInput], renamed: Mapping[str, str]) -> dict[tuple[str, int], RecordedInput]:
    """Inputs by label, that of a figure by what it is called now; of several with one label by their order."""
    seen: Counter[str] = Counter()
    made: dict[tuple[str, int], RecordedInput] = {}
    for part in parts:
        label = renamed.get(part.figure, part.label)
        seen[label] += 1
        made[label, seen[label]] = part
    return made


def places_of(paths: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Paths of artefacts sorted into pages, ids of cards, and other documents.

    >>> places_of(["areas/pit.html", "cards/pit.pdf", "books/field.pdf", "forms/bump.pdf"])
    {'pages': ('areas/pit.html',), 'cards': ('pit',), 'documents': ('forms/bump.pdf',)}
    """
    kept = sorted(set(paths))
    cards = [path for path in kept if re.fullmatch(r"cards/[^/]+\.pdf", path)]
    others = [path for path in kept if path.endswith(".pdf") and path not in cards]
    return {
        "pages": tuple(path for path in kept if path.endswith(".html") and not path.startswith("figures/")),
        "cards": tuple(path.removeprefix("cards/").removesuffix(".pdf") for path in cards),
        "documents": tuple(path for path in others if not path.startswith(("cards/", "books/"))),
    }


def same_face(old: CardTold | None, new: CardTold | None) -> bool:
    """Whether both cards exist and say the same."""
    return old is not None and new is not None and old.face == new.face
