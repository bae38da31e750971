"""The reference library: gases and the published values of each, every value with its source.

A value that no source has is ``None``. Nothing is estimated, and nothing falls from one LEL basis to the other.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import cache
from typing import Final

from builder.base.nearest import nearest
from builder.base.record import dataclass
from builder.reference.errors import AmbiguousGasError, UnknownGasError, UnknownNameError
from builder.reference.formula import molar_mass
from builder.reference.limits import LIMIT_KINDS, LimitList, column_of, mass_column_of, shipped_lists
from builder.reference.published import Published, in_force, published_series
from builder.reference.sources import Source
from builder.reference.tables import TABLES, parts, read_table

LEL_BASES: Final = ("iec-60079-20-1-2010", "nfpa-497-2008")
"""Tables a site may choose as the meaning of 100 %LEL. A choice, not a preference: the other is never used instead."""

IONISATION_ENERGY_SOURCES: Final = ("niosh-pocket-guide-2005", "chemicals-1-5-2-elements", "nist-ionisation-energy")
"""Sources of ionisation energies, best read first; the last one is from memory."""

IGNITION_SOURCES: Final = ("iec-60079-20-1-2010", "nfpa-497-2008")
"""Sources of autoignition temperature and flash point, the preferred first."""

PROPERTIES: Final[Mapping[str, str]] = {
    "lel": "lel_pct_vol",
    "uel": "uel_pct_vol",
    "autoignition": "autoignition_c",
    "flash-point": "flash_point_c",
    "ionisation-energy": "ionisation_energy_ev",
    **{kind: column_of(kind) for kind in LIMIT_KINDS},
    **{f"{kind}-mass": mass_column_of(kind) for kind in LIMIT_KINDS},
}
"""Property of a gas -> column that holds it, whatever the table."""

_SUBSCRIPTS: Final = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")


@dataclass(frozen=True, slots=True, kw_only=True)
class GasEntry:
    """Which substance a row of the tables is about."""

    id: str
    """Id used in content and figure keys, as in ``hydrogen-sulfide``."""
    name: str
    """Name as printed."""
    formula: str
    """Molecular formula."""
    cas: str
    """CAS registry number."""
    synonyms: tuple[str, ...] = ()
    """Other names a person may look for."""

    @property
    def molar_mass(self) -> Fraction:
        """Molar mass in g/mol, from the formula and the standard atomic weights."""
        return molar_mass(self.formula)


@dataclass(frozen=True, slots=True)
class Library:
    """The gases and their published values; reads each table once, when first asked for it."""

    own: tuple[LimitList, ...] = ()
    """Lists of exposure limits that a site brought."""
    brought: tuple[GasEntry, ...] = ()
    """Gases that a site brought; no shipped table has a value of them."""

    def gases(self) -> tuple[GasEntry, ...]:
        """Every gas, in the order of the table."""
        return tuple(_entries().values())

    def gas(self, gas_id: str) -> GasEntry:
        """The gas with exactly this id.

        :raises UnknownGasError: with the nearest ids.
        """
        entry = _entries().get(gas_id) or next((one for one in self.brought if one.id == gas_id), None)
        if entry is None:
            raise UnknownGasError(gas_id, _nearest_gases(gas_id))
        return entry

    def find(self, text: str) -> GasEntry:
        """The gas with this id, name, formula, CAS number or synonym; case, spaces and hyphens do not matter.

        :raises UnknownGasError: with the nearest gases.
        :raises AmbiguousGasError: when several gases share the text, as isomers share a formula.
        """
        ids = _index().get(_folded(text), ())
        if len(ids) > 1:
            raise AmbiguousGasError(text, ids)
        if not ids:
            raise UnknownGasError(text, _nearest_gases(text))
        return _entries()[ids[0]]

    def named_in(self, text: str) -> tuple[str, ...]:
        """Ids of the gases of the library that a text of several words names, no word for two of them."""
        left, found = f"-{_folded(text)}-", []
        for word, ids in sorted(_index().items(), key=lambda one: -len(one[0])):
            if len(word) > len("no") and len(ids) == 1 and f"-{word}-" in left:
                left = left.replace(f"-{word}-", "-")
                found.append(ids[0])
        return tuple(found)

    def source(self, source_id: str) -> Source:
        """The source with this id.

        :raises UnknownNameError: with the nearest ids.
        """
        return read_table(source_id).source

    def sources(self) -> tuple[Source, ...]:
        """Every source that ships, then those of the site's own lists."""
        brought = (table.source for listed in self.own for table in listed.tables)
        return (*(read_table(name).source for name in TABLES), *brought)

    def published(self, gas_id: str, prop: str, source_ids: Iterable[str]) -> Published | None:
        """The value of the first of these sources that has one, else ``None``; of several by day the last.

        :raises UnknownNameError: when gas, property or a source is unknown.
        """
        self.gas(gas_id)
        column = PROPERTIES.get(prop)
        if column is None:
            raise UnknownNameError("property", prop, nearest(prop, PROPERTIES))
        for table in [read_table(source_id) for source_id in source_ids]:
            series = published_series(table, gas_id, prop, column)
            if series:
                return series[-1]
        return None

    def lel(self, gas_id: str, basis: str) -> Published | None:
        """Lower explosive limit on this basis alone, else ``None``.

        :raises UnknownNameError: when the basis is none of ``LEL_BASES``, or the gas is unknown.
        """
        return self.published(gas_id, "lel", (_known_basis(basis),))

    def ionisation_energies(self, gas_id: str) -> tuple[Published, ...]:
        """Every ionisation energy that ``IONISATION_ENERGY_SOURCES`` have, in their order."""
        found = (self.published(gas_id, "ionisation-energy", (source,)) for source in IONISATION_ENERGY_SOURCES)
        return tuple(value for value in found if value is not None)

    def ionisation_energy(self, gas_id: str) -> Published | None:
        """The highest of them, so that a lamp is never taken to be strong enough on the lower of two; else ``None``."""
        return max(self.ionisation_energies(gas_id), key=lambda value: value.value, default=None)

    def limit_lists(self) -> Mapping[str, LimitList]:
        """Lists of exposure limits by id: those that ship, then the site's own."""
        return {**shipped_lists(), **{listed.id: listed for listed in self.own}}

    def limit_list(self, list_id: str) -> LimitList:
        """The list with this id.

        :raises UnknownNameError: with the nearest ids.
        """
        known = self.limit_lists()
        if list_id not in known:
            raise UnknownNameError("list of limits", list_id, nearest(list_id, known))
        return known[list_id]

    def limits(self, gas_id: str, limit_list: str, on: date) -> Mapping[str, Published]:
        """Exposure limits of one list that count on a day, by kind, in the order of ``LIMIT_KINDS``.

        Kinds without a value are absent. A value that a newer edition has replaced by a number nobody read is
        ``superseded``.

        :raises UnknownNameError: when the list or the gas is unknown.
        """
        return self._by_kind(gas_id, limit_list, on, "")

    def limit_masses(self, gas_id: str, limit_list: str, on: date) -> Mapping[str, Published]:
        """What a list itself prints in mg/m³ beside its limits, by kind; a list may print none, or round it freely.

        :raises UnknownNameError: when the list or the gas is unknown.
        """
        return self._by_kind(gas_id, limit_list, on, "-mass")

    def _by_kind(self, gas_id: str, limit_list: str, on: date, end: str) -> Mapping[str, Published]:
        listed, gas = self.limit_list(limit_list), self.gas(gas_id)
        found = ((kind, _counting(listed, gas.id, f"{kind}{end}", on)) for kind in LIMIT_KINDS)
        return {kind: value for kind, value in found if value is not None}

    def has_limits(self, gas_id: str) -> bool:
        """Whether any list has, had or will have a limit of this gas."""
        return any(
            self.limit_history(gas_id, name, kind)
            for name, listed in self.limit_lists().items()
            for kind in listed.kinds
        )

    def limit_history(self, gas_id: str, limit_list: str, kind: str) -> tuple[Published, ...]:
        """Every value a list has of one kind: past, present and to come, in that order; older editions come first.

        :raises UnknownNameError: when the list or the gas is unknown.
        """
        listed, gas = self.limit_list(limit_list), self.gas(gas_id)
        tables = reversed(listed.tables)
        return tuple(one for table in tables for one in published_series(table, gas.id, kind, column_of(kind)))


def _counting(listed: LimitList, gas: str, kind: str, on: date) -> Published | None:
    newer = ""
    for table in listed.tables:
        if table.revised(gas, PROPERTIES[kind]):
            newer = f"{table.source.title}, {table.text(gas, 'locator')}: {table.text(gas, 'note')}"
        value = in_force(published_series(table, gas, kind, PROPERTIES[kind]), on)
        if value is not None:
            return replace(value, superseded=newer)
    return None


@cache
def library() -> Library:
    """The one library; making another costs nothing, since the tables are shared."""
    return Library()


@cache
def _entries() -> Mapping[str, GasEntry]:
    return {
        gas_id: GasEntry(
            id=gas_id, name=row["name"], formula=row["formula"], cas=row["cas"], synonyms=parts(row["synonyms"])
        )
        for gas_id, row in read_table("gases").rows.items()
    }


@cache
def _index() -> Mapping[str, tuple[str, ...]]:
    index: dict[str, tuple[str, ...]] = {}
    for entry in _entries().values():
        words = {_folded(word) for word in (entry.id, entry.name, entry.formula, entry.cas, *entry.synonyms)}
        for word in sorted(words):
            index[word] = (*index.get(word, ()), entry.id)
    return index


def _folded(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", text.translate(_SUBSCRIPTS).casefold()).strip("-")


def _nearest_gases(text: str) -> tuple[str, ...]:
    index = _index()
    ids = (gas_id for word in nearest(_folded(text), index, count=6) for gas_id in index[word])
    return tuple(dict.fromkeys(ids))[:3]


def _known_basis(basis: str) -> str:
    if basis not in LEL_BASES:
        raise UnknownNameError("LEL basis", basis, nearest(basis, LEL_BASES))
    return basis
