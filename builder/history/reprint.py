"""What a comparison asks people to do: print cards anew, take old ones back, tell those whose action changed."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from builder.base.record import dataclass
from builder.history.archive import Archive, Past
from builder.history.compare import EditionComparison, compare, same_face
from builder.history.edition import CardTold, Edition
from builder.history.old_labels import old_label_pairs
from builder.history.wording import line_pairs, marked_text, word_runs
from builder.program.card_copies import Copies
from builder.program.program import Program
from builder.program.records import Person

SETPOINT = re.compile(r"setpoint\.(?P<area>[^.]+)\.(?P<channel>[^.]+)\.(?:low|high|twa|stel)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Recall:
    """Copies to be taken back from one holder."""

    card: str
    holder: str
    copies: int
    revision: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Reprint:
    """One card, form or sheet of labels that must be printed anew, or taken out of use."""

    what: str
    """Id of the card, or path of the document."""
    title: str
    why: str
    """``new``, ``changed`` or ``withdrawn``."""
    code_before: str
    code_after: str
    differences: tuple[str, ...]
    copies: int
    """How many are out, by the register."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Briefing:
    """One person to be told, and what of."""

    person: str
    subjects: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reprints:
    """All that follows from a comparison."""

    cards: tuple[Reprint, ...]
    documents: tuple[Reprint, ...]
    recalls: tuple[Recall, ...]
    briefings: tuple[Briefing, ...]


def comparison_of(old: Edition, new: Edition, past: Past, program: Program) -> tuple[EditionComparison, Reprints]:
    """Two editions, and what follows for cards, copies and people of the program."""
    found, copies = compare(old, new), program.copies
    return found, Reprints(
        cards=tuple(_cards(old, new, copies)),
        documents=tuple(_documents(found, old, new, copies)),
        recalls=tuple(_recalls(old, new, past.archive, copies)),
        briefings=tuple(_briefings(found, old, new, copies, (program.people or {}).values())),
    )


def card_differences(old: CardTold, new: CardTold) -> tuple[str, ...]:
    """What changed on a card, a line each, words out and in marked."""
    return tuple(marked_text(word_runs(before, after)) for before, after, _ in line_pairs(old.lines, new.lines))


def _cards(old: Edition, new: Edition, copies: Sequence[Copies]) -> Iterator[Reprint]:
    for name in sorted({*old.cards, *new.cards}):
        before, after = old.cards.get(name), new.cards.get(name)
        if same_face(before, after):
            continue
        shown = after or before
        assert shown is not None  # noqa: S101 - the name came from one of the two
        yield Reprint(
            what=name,
            title=shown.title,
            why="new" if before is None else "withdrawn" if after is None else "changed",
            code_before=before.code if before else "",
            code_after=after.code if after else "",
            differences=card_differences(before, after) if before and after else (),
            copies=_out(copies, name),
        )


def _documents(
    comparison: EditionComparison, old: Edition, new: Edition, copies: Sequence[Copies]
) -> Iterator[Reprint]:
    """Forms and labels: those whose words changed, or that print a figure that changed in substance."""
    moved = {path for change in comparison.seen for path in change.documents}
    paths = {*old.documents, *new.documents}
    whole = old.about_units is not None and new.about_units is not None
    for path in sorted(moved | paths):
        before, after = (edition.words_of(path, whole=whole) for edition in (old, new))
        why = (
            "new" if path in paths and before is None else "withdrawn" if path in paths and after is None else "changed"
        )
        pairs: Iterable[tuple[str, str]] = ()
        if why == "changed":
            labels = old_label_pairs(old, new, path)
            pairs = labels if labels is not None else [pair[:2] for pair in line_pairs(before or (), after or ())]
        if why == "changed" and not pairs and path not in moved:
            continue
        yield Reprint(
            what=path,
            title=path,
            why=why,
            code_before="",
            code_after="",
            differences=tuple(marked_text(word_runs(out, into)) for out, into in pairs),
            copies=_out(copies, path),
        )


def _out(copies: Sequence[Copies], name: str) -> int:
    return sum(entry.copies.value for entry in copies if entry.card.value == name)


def _recalls(old: Edition, new: Edition, archive: Archive, copies: Sequence[Copies]) -> Iterator[Recall]:
    """Copies of a card that says something else now, or is withdrawn; of a revision nobody knows as well."""
    known: Mapping[int, Edition] = {**archive.editions, **({old.number: old} if old.number else {})}
    for entry in copies:
        edition = known.get(entry.revision.value)
        printed = edition.cards.get(entry.card.value) if edition else None
        if not same_face(printed, new.cards.get(entry.card.value)):
            yield Recall(
                card=entry.card.value,
                holder=entry.holder.value,
                copies=entry.copies.value,
                revision=entry.revision.value,
            )


def _briefings(
    comparison: EditionComparison, old: Edition, new: Edition, copies: Sequence[Copies], people: Iterable[Person]
) -> Iterator[Briefing]:
    """Whoever holds a card of an area where an alarm or its action changed, or has the role of such a card."""
    subjects = list(_subjects(comparison))
    told: dict[str, dict[str, None]] = {}
    cards = [*old.cards.values(), *new.cards.values()]
    for area, subject in subjects:
        touched = {card.id for card in cards if card.area in (area, "")}
        roles = {card.audience for card in cards if card.id in touched}
        names = [entry.holder.value for entry in copies if entry.card.value in touched]
        names += [person.name for person in people if person.role.value in roles]
        for name in names:
            told.setdefault(name, {})[subject] = None
    for name in sorted(told):
        yield Briefing(person=name, subjects=tuple(told[name]))


def _subjects(comparison: EditionComparison) -> Iterator[tuple[str, str]]:
    """(area, what changed there) for every setpoint and alarm action that is another now."""
    for change in comparison.seen:
        match = SETPOINT.fullmatch(change.key)
        if match:
            yield match["area"], f"{change.label}: {change.before or 'none'} → {change.after or 'none'}"
    for text in comparison.texts:
        kind, _, name = text.subject.partition(":")
        if kind == "setpoint":
            yield name.split(".")[0], f"{name}: {text.before or 'none'} → {text.after or 'none'}"
