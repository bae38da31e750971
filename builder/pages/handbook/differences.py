"""Differences: this edition against the last release, and what has to be printed, taken back and told."""

from collections import Counter
from collections.abc import Iterable

from builder.history.compare import Change, EditionComparison
from builder.history.reprint import SETPOINT, Reprint, Reprints
from builder.history.wording import TextChange
from builder.pages.blocks import FILE, Block, Code, Inline, Inlines, Strong, Text
from builder.pages.books.book import changed_path
from builder.pages.compositions import Page
from builder.pages.handbook.figure_pages import family_of
from builder.pages.handbook.figure_words import RECORD
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.parts import head, inlines, listed, page, para, points, table, to
from builder.program.books import BookSpec

KINDS = {
    "added": "new",
    "removed": "gone",
    "changed": "changed",
    "exact": "prints the same",
    "derived": "same value, another derivation",
}
NAMED = "named in the content"
NOTHING = "Nothing was released before, so there is nothing to compare with."


def differences_page(
    found: tuple[EditionComparison, Reprints] | None,
    keys: Iterable[str],
    ids: Iterable[str],
    books: Iterable[BookSpec] = (),
    *,
    names: bool,
) -> Page:
    """The page ``page:differences``.

    :param keys: keys of the figures there are now, which can be linked to.
    :param ids: references of the pages there are now.
    :param books: those of which this release has changed pages to print.
    :param names: whether people and holders are told by name.
    """
    known, pages = set(keys), set(ids)
    blocks: list[Block] = [para(NOTHING)]
    if found is not None:
        comparison, follows = found
        alarms = [change for change in comparison.seen if SETPOINT.fullmatch(change.key)]
        others = [change for change in comparison.substance if change not in alarms]
        blocks = [
            para(fixed("differences.calendar-last", before=comparison.before, after=comparison.after)),
            head("Alarms that changed", "alarms"),
            _table_of(alarms, known),
            *_follows(follows, names=names),
            head("Words that changed", "words"),
            _texts(comparison.texts, pages),
            head("Other figures that changed", "figures"),
            *_figures(others, known),
            head("Moved with the calendar or with work done", "calendar"),
            *_figures(comparison.passing, known),
        ]
    pages_of = [to(f"{FILE}{changed_path(book.id)}", book.title.value) for book in books]
    if pages_of:
        blocks[1:1] = [
            head("Pages of the books to be changed", "books"),
            para(fixed("differences.books"), " ", listed(pages_of), "."),
        ]
    lead = fixed("differences.lead")
    return page("page:differences", "Differences to the last release", "program", lead, blocks)


def _figures(changes: Iterable[Change], known: set[str]) -> tuple[Block, ...]:
    """A row a figure; those of records are counted file by file, since every round of checks brings hundreds."""
    changes = tuple(changes)
    counts = Counter((change.key.split(".")[1], change.kind) for change in changes if _of_record(change))
    told = (
        inlines(Strong(inlines(file)), ": ", ", ".join(f"{counts[file, kind]} {word}" for kind, word in KINDS.items()
                                                       if counts[file, kind]))
        for file in dict.fromkeys(file for file, _ in counts)
    )  # fmt: skip
    of_records = (para(fixed("differences.records")), *points(told)) if counts else ()
    return (_table_of(tuple(change for change in changes if not _of_record(change)), known), *of_records)


def _of_record(change: Change) -> bool:
    return family_of(change.key) == RECORD


def _table_of(changes: Iterable[Change], known: set[str]) -> Block:
    rows = (
        (
            to(f"figure:{change.key}", change.label) if change.key in known else change.label,
            KINDS[change.kind],
            change.before or "none",
            change.after or "none",
            _causes(change),
            ", ".join((*change.pages, *(f"card {name}" for name in change.cards), *change.documents)) or "nowhere",
        )
        for change in changes
    )
    return table(("Figure", "How", "Before", "Now", "Because of", "Printed on"), rows, empty="none")


def _causes(change: Change) -> Inlines:
    made: list[Inline] = []
    for cause in change.causes:
        if made:
            made.append(Text("; "))
        made += [Code(cause.place), Text(" ")] if cause.kind == "content" else []
        words = str(cause) if cause.kind != "content" else f"{cause.before or 'none'} → {cause.after or 'none'}"
        made.append(Text(words))
    return tuple(made)


def _texts(changes: Iterable[TextChange], pages: set[str]) -> Block:
    rows = (
        (to(change.subject, change.subject) if change.subject in pages else change.subject, change.part, _runs(change))
        for change in changes
    )
    return table(("Where", "Part", "Words out − and in +"), rows, empty="none")


def _runs(change: TextChange) -> Inlines:
    made: list[Inline] = []
    for kind, words in change.runs:
        if kind == "same":
            made.append(Text(words))
        elif kind == "out":
            made.append(Text(f"[− {words.strip()} −] "))
        else:
            made += [Strong(inlines(f"[+ {words.strip()} +]")), Text(" ")]
    return tuple(made)


def _follows(follows: Reprints, *, names: bool) -> tuple[Block, ...]:
    recalls = (
        (recall.card, recall.holder if names else NAMED, str(recall.copies), str(recall.revision))
        for recall in follows.recalls
    )
    briefings = [(entry.person, "; ".join(entry.subjects)) for entry in follows.briefings]
    told = table(("Who", "About"), briefings, empty="none: no alarm and no action on alarm changed")
    return (
        head("Copies to take back", "recall"),
        table(("Card", "Holder", "Copies", "Of revision"), recalls, numeric=(2,), empty="none by the register"),
        head("People to brief on alarms", "briefing"),
        told if names or not briefings else para(fixed("differences.names-left-out")),
        head("To be printed anew", "reprint"),
        _reprints((*follows.cards, *follows.documents)),
        para(fixed("differences.same-card")),
    )


def _reprints(reprints: Iterable[Reprint]) -> Block:
    rows = (
        (
            reprint.title,
            reprint.why,
            reprint.code_before or "none",
            reprint.code_after or "none",
            "; ".join(reprint.differences) or "see the figures",
            str(reprint.copies),
        )
        for reprint in reprints
    )
    columns = ("Card, form or labels", "Why", "Code before", "Code now", "What changed on it", "Copies out")
    return table(columns, rows, numeric=(5,), empty="nothing")
