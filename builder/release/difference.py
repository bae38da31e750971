"""Two editions of a handbook compared: released ones from a published site, the draft from the content."""

import dataclasses
import json
from datetime import date
from pathlib import Path

from builder import pipeline
from builder.base.errors import UsageError
from builder.base.telling import Tell, silent
from builder.base.unseen import visible_json
from builder.history.archive import Archive, Past, read_archive
from builder.history.compare import EditionComparison
from builder.history.edition import Edition
from builder.history.reprint import Reprints, comparison_of
from builder.pages.edition import edition_of
from builder.publish.existing_site import released_digests

DRAFT = "draft"


def difference(
    one: str, other: str, *, site: Path, content: Path, as_of: date, tell: Tell = silent
) -> tuple[EditionComparison, Reprints]:
    """What differs from ``one`` to ``other``; each is a number, or ``draft``.

    :raises UsageError: for an edition that is not there.
    :raises ContentError: when the content is wrong.
    :raises PublishError: when a released revision was changed since.
    """
    released_digests(site)
    archive = read_archive(site)
    judged = pipeline.judge(content, as_of, tell)
    past = Past(archive, frozenset(archive.editions))
    for name in (one, other):
        if name != DRAFT and not archive.editions:
            raise UsageError(f"no edition is called {name!r}: no revision was released in {site}; allowed: {DRAFT}")
    old, new = (_edition(name, archive, judged, past) for name in (one, other))
    return comparison_of(old, new, past, judged.program)


def _edition(name: str, archive: Archive, judged: pipeline.Judged, past: Past) -> Edition:
    if name == DRAFT:
        made = pipeline.compose(judged, past=past)
        told = pipeline.told(judged, draft=True)
        return edition_of(judged.ledger, made.pages, made.cards, made.outputs, made.texts, told)
    numbered = {str(number): edition for number, edition in archive.editions.items()}
    if name in numbered:
        return numbered[name]
    allowed = ", ".join([*map(str, archive.editions), DRAFT])
    raise UsageError(f"no edition is called {name!r}; allowed: {allowed}")


def as_json(found: EditionComparison, follows: Reprints) -> str:
    """Everything, for anybody's own program."""
    told = {
        "format": 1,
        "before": found.before,
        "after": found.after,
        "figures": [dataclasses.asdict(change) for change in found.changes],
        "texts": [dataclasses.asdict(text) for text in found.texts],
        "reprint": dataclasses.asdict(follows),
    }
    return visible_json(json.dumps(told, ensure_ascii=False, indent=1, sort_keys=True))
