"""One edition of a handbook as its own files tell it, whether released long ago or made just now."""

from collections.abc import Mapping
from dataclasses import field
from typing import Any

from builder.base.errors import ArchiveError
from builder.base.record import dataclass
from builder.history.chapters import ChaptersTold, read_chapters
from builder.history.ledger_files import Read, read_data, read_ledger

UNTOLD = ("reviewed_on", "approved_on")
TEXTS, CARDS, ABOUT = "texts.json", "cards.json", "about.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedInput:
    """One thing a figure was made from."""

    label: str
    text: str
    figure: str
    where: str
    source: str
    decides: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedFigure:
    """A figure as an edition tells it."""

    key: str
    label: str
    printed: str
    exact: str
    rounding: str
    formula: str
    expression: str
    source: str
    parts: tuple[RecordedInput, ...]
    printed_on: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardTold:
    """A pocket card as an edition prints it."""

    id: str
    title: str
    audience: str
    area: str
    """Id of its area, or empty."""
    code: str
    face: str
    """The same for two cards exactly when they say the same, apart from revision and dates in the foot."""
    lines: tuple[str, ...]
    valid_until: str
    figures: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcedureTold:
    """The words of a procedure."""

    title: str
    cautions: tuple[str, ...]
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """Who released an edition, when and why, and what it was made with."""

    number: int
    effective: str
    reason: str
    prepared: str
    reviewed: str
    approved: str
    as_of: str
    versions: Mapping[str, str]
    reviewed_on: str | None = None
    """Days in ISO 8601, where they are told; early releases told none."""
    approved_on: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """Everything about one edition that can be compared."""

    name: str
    """As in ``Revision 3`` or ``Draft after revision 3``."""
    as_of: str
    figures: Mapping[str, RecordedFigure]
    cards: Mapping[str, CardTold]
    procedures: Mapping[str, ProcedureTold]
    actions: Mapping[str, str]
    """``AREA.CHANNEL.ALARM`` -> what to do when it sounds."""
    documents: Mapping[str, tuple[str, ...]]
    """Path of a form or sheet of labels -> its words."""
    about_units: Mapping[str, tuple[str, ...]] | None = None
    """Path of a sheet of labels -> what each may tell of its unit; ``None`` where it was not kept."""
    chapters: ChaptersTold = field(default_factory=dict)
    """Of a released one: what the chapters of its books print."""
    about: About | None = None
    """``None`` for a draft."""

    def words_of(self, path: str, *, whole: bool) -> tuple[str, ...] | None:
        """The words of a document, with what may have been left out of it for want of room if ``whole``."""
        words = self.documents.get(path)
        return words and (*words, *((self.about_units or {}).get(path, ()) if whole else ()))

    @property
    def number(self) -> int:
        """The number of the revision, 0 for a draft."""
        return self.about.number if self.about else 0


def read_edition(read: Read, what: str) -> Edition:
    """The edition whose files ``read`` gives; ``what`` names it in errors.

    :raises ArchiveError: when a file is missing or not of the form that a builder writes.
    """
    ledger = read_ledger(read, what)
    texts, cards = (read_data(read, name, what) for name in (TEXTS, CARDS))
    try:
        return Edition(
            name=ledger.facts["revision"],
            as_of=ledger.facts["as_of"],
            figures={key: _figure_of(key, entry) for key, entry in ledger.figures.items()},
            cards={card["id"]: card_told(card) for card in cards["cards"]},
            procedures={name: procedure_told(entry) for name, entry in texts["procedures"].items()},
            actions=dict(texts["actions"]),
            documents={path: tuple(lines) for path, lines in texts["documents"].items()},
            about_units={path: tuple(lines) for path, lines in texts["about"].items()} if "about" in texts else None,
            chapters=read_chapters(read, what),
        )
    except (KeyError, TypeError, AttributeError) as fault:
        raise ArchiveError(f"{what}: its files are not of the form that a builder writes: {fault!r}") from fault


def read_about(read: Read, what: str) -> About:
    """Who released it, and with what it was made.

    :raises ArchiveError: as ``read_edition``.
    """
    found = read_data(read, ABOUT, what)
    try:
        return About(
            **{name: found[name] for name in About.__dataclass_fields__ if name not in UNTOLD or name in found}
        )
    except KeyError as fault:
        raise ArchiveError(f"{what}/{ABOUT}: key {fault} is missing") from fault


def _figure_of(key: str, entry: Mapping[str, Any]) -> RecordedFigure:
    names = ("label", "printed", "exact", "rounding", "formula", "expression", "source")
    parts = ({name: part[name] for name in RecordedInput.__dataclass_fields__} for part in entry["inputs"])
    return RecordedFigure(
        key=key,
        **{name: entry[name] for name in names},
        parts=tuple(RecordedInput(**part) for part in parts),
        printed_on=tuple(entry["printed_on"]),
    )


def card_told(entry: Mapping[str, Any]) -> CardTold:
    """A card as the file of cards tells it."""
    names = ("id", "title", "audience", "area", "code", "face", "valid_until")
    return CardTold(
        **{name: entry[name] for name in names}, lines=tuple(entry["lines"]), figures=tuple(entry["figures"])
    )


def procedure_told(entry: Mapping[str, Any]) -> ProcedureTold:
    """A procedure as the file of texts tells it."""
    return ProcedureTold(title=entry["title"], cautions=tuple(entry["cautions"]), steps=tuple(entry["steps"]))
