"""A ledger kept in parts, so that who asks for one figure reads no more, and its derivation as a tree."""

from __future__ import annotations

from collections.abc import Mapping

from builder.base.digest import digest
from builder.base.parted import Parted, runs_of
from builder.base.plain_pickle import packed, unpacked
from builder.base.record import dataclass
from builder.base.store import Store
from builder.figures.figure import Figure, Input
from builder.figures.ledger import Ledger


class PartLostError(LookupError):
    """A part of a kept ledger is gone or spoiled."""


def keep(store: Store, key: str, ledger: Ledger, *, whole: bool = True) -> None:
    """Keep ``ledger`` under ``key``, its parts first.

    :param whole: whether it has all figures.
    """
    firsts = []
    for at, run in enumerate(runs_of(sorted(ledger.figures))):
        store.put(_part_key(key, at), packed({name: ledger.figures[name] for name in run}))
        firsts.append(run[0])
    store.put(key, packed((tuple(firsts), len(ledger.figures), dict(ledger.aliases), dict(ledger.names), whole)))


def kept_ledger(store: Store, key: str) -> tuple[Ledger, bool] | None:
    """The ledger kept under ``key``, in the order of keys, and whether it has all figures; or ``None``.

    Its figures are read as they are asked for, which raises PartLostError where a part is gone.
    """
    found = unpacked(store.get(key))
    if found is None:
        return None
    firsts, count, aliases, names, whole = found

    def load(at: int) -> Mapping[str, Figure]:
        part = unpacked(store.get(_part_key(key, at)))
        if part is None:
            raise PartLostError(f"part {at} of what is kept")
        figures: Mapping[str, Figure] = part
        return figures

    return Ledger(figures=Parted(firsts, count, load), aliases=aliases, names=names), whole


def _part_key(key: str, at: int) -> str:
    return digest("part of a ledger", key, at)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One node of a derivation: a figure with what it was made from, or a given value."""

    label: str
    """What it is in the figure above; the figure's own label at the top."""
    given: Input | None
    """The input as the figure above names it; ``None`` at the top."""
    figure: Figure | None
    """The figure, or ``None`` for a value from content or a table."""
    parts: tuple[Step, ...]


def derivation(ledger: Ledger, key: str) -> Step:
    """The whole derivation of a figure, down to content lines and published tables.

    :raises UnknownKeyError: when no figure has the key.
    """
    figure = ledger[key]
    return Step(label=figure.label, given=None, figure=figure, parts=_parts(ledger, figure))


def _parts(ledger: Ledger, figure: Figure) -> tuple[Step, ...]:
    return tuple(_step(ledger, part) for part in figure.inputs)


def _step(ledger: Ledger, part: Input) -> Step:
    below = ledger.figures.get(part.figure) if part.figure else None
    return Step(label=part.label, given=part, figure=below, parts=_parts(ledger, below) if below else ())
