"""What a code on a pocket card means today: current, superseded, withdrawn."""

from dataclasses import replace

from builder.base.record import dataclass
from builder.history.archive import Archive
from builder.history.edition import CardTold, Edition
from builder.history.reprint import card_differences
from builder.program.keys.families import CARD_VALID_UNTIL


@dataclass(frozen=True, slots=True, kw_only=True)
class CodeStatus:
    """One code that was ever printed on a released card, or stands on the present draft."""

    code: str
    card: str
    title: str
    edition: str
    """Name of the edition that prints it."""
    state: str
    """``current``, ``superseded``, ``withdrawn`` or ``draft``."""
    valid_until: str = ""
    """Its last day as printed, and in ISO 8601; empty where the card tells none."""
    last_day: str = ""
    by: str = ""
    """Name of the edition that superseded it or left it out."""
    by_code: str = ""
    changed: tuple[str, ...] = ()
    """What changed on the card from then to now; empty when only revision and dates did."""


def statuses(archive: Archive, present: Edition, *, released: bool) -> tuple[CodeStatus, ...]:
    """Every code, sorted; of a code that two editions print, the later one counts.

    :param released: whether ``present`` is being released; else it is a draft and supersedes nothing.
    """
    editions = [archive.editions[number] for number in sorted(archive.editions)] + ([present] if released else [])
    made: dict[str, CodeStatus] = {}
    if not released:
        for card in present.cards.values():
            made[card.code] = _status_of(card, present, "draft")
    for at, edition in enumerate(editions):
        for card in edition.cards.values():
            made[card.code] = _status(card, edition, editions[at + 1 :])
    return tuple(made[code] for code in sorted(made))


def _status_of(card: CardTold, edition: Edition, state: str) -> CodeStatus:
    until = edition.figures.get(CARD_VALID_UNTIL(card=card.id.partition(".")[0]))
    return CodeStatus(
        code=card.code,
        card=card.id,
        title=card.title,
        edition=edition.name,
        state=state,
        valid_until=card.valid_until,
        last_day=until.exact if until and card.valid_until else "",
    )


def _status(card: CardTold, edition: Edition, later: list[Edition]) -> CodeStatus:
    base = _status_of(card, edition, "current")
    successors = [other for other in later if card.id in other.cards and other.cards[card.id].code != card.code]
    if later and card.id not in later[-1].cards:
        gone = next(other for other in later if card.id not in other.cards)
        return replace(base, state="withdrawn", by=gone.name)
    if not successors:
        return base
    now = successors[-1].cards[card.id]
    return replace(
        base, state="superseded", by=successors[0].name, by_code=now.code, changed=card_differences(card, now)
    )
