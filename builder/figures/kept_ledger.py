"""A ledger kept in parts, so that who asks for one figure reads that figure and what it was made from."""

from collections.abc import Mapping

from builder.base.digest import digest
from builder.base.parted import Parted, runs_of
from builder.base.plain_pickle import packed, unpacked
from builder.base.store import Store
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger


class PartLostError(LookupError):
    """A part of a kept ledger is gone or spoiled."""


def keep(store: Store, key: str, ledger: Ledger) -> None:
    """Keep ``ledger`` under ``key``, its parts first."""
    firsts = []
    for at, run in enumerate(runs_of(sorted(ledger.figures))):
        store.put(_part_key(key, at), packed({name: ledger.figures[name] for name in run}))
        firsts.append(run[0])
    store.put(key, packed((tuple(firsts), len(ledger.figures), dict(ledger.aliases), dict(ledger.names))))


def kept_ledger(store: Store, key: str) -> Ledger | None:
    """The ledger kept under ``key``, in the order of keys, or ``None``.

    Its figures are read as they are asked for, which raises PartLostError where a part is gone.
    """
    found = unpacked(store.get(key))
    if found is None:
        return None
    firsts, count, aliases, names = found

    def load(at: int) -> Mapping[str, Figure]:
        part = unpacked(store.get(_part_key(key, at)))
        if part is None:
            raise PartLostError(f"part {at} of what is kept")
        figures: Mapping[str, Figure] = part
        return figures

    return Ledger(figures=Parted(firsts, count, load), aliases=aliases, names=names)


def _part_key(key: str, at: int) -> str:
    return digest("part of a ledger", key, at)
