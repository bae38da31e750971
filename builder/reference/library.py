"""The reference library: gases and the published values of each, every value with its source.

A value that no source has is ``None``. Nothing is estimated, and nothing falls from one LEL basis to the other.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Final

from builder.base.nearest import nearest
from builder.reference.errors import AmbiguousGasError, UnknownGasError, UnknownNameError
from builder.reference.formula import molar_mass
from builder.reference.tables import TABLES, read_table

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from builder.reference.sources import Source

LEL_BASES: Final = ("iec-60079-20-1-2010", "nfpa-497-2008")
"""Tables a site may choose as the meaning of 100 %LEL. A choice, not a preference: the other is never used instead."""

IONISATION_ENERGY_SOURCES: Final = ("niosh-pocket-guide-2005", "chemicals-1-5-2-elements", "nist-ionisation-energy")
"""Sources of ionisation energies, best read first; the last one is from memory."""

IGNITION_SOURCES: Final = ("iec-60079-20-1-2010", "nfpa-497-2008")
"""Sources of autoignition temperature and flash point, the preferred first."""

LIMIT_LISTS: Final[Mapping[str, str]] = {
    "osha": "osha-29cfr1910-subpart-z",
    "niosh": "niosh-pocket-guide-2005",
    "uk": "uk-eh40-2005",
    "eu": "eu-ioelv",
}
"""Name of a list of exposure limits, as a site writes it -> its table."""

LIMIT_KINDS: Final = ("twa", "stel", "ceiling", "idlh")
"""Kinds of exposure limit; only NIOSH has ``idlh``."""

PROPERTIES: Final[Mapping[str, str]] = {
    "lel": "lel_pct_vol",
    "uel": "uel_pct_vol",
    "autoignition": "autoignition_c",
    "flash-point": "flash_point_c",
    "ionisation-energy": "ionisation_energy_ev",
    "twa": "twa_ppm",
    "stel": "stel_ppm",
    "ceiling": "ceiling_ppm",
    "idlh": "idlh_ppm",
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """One value as a source prints it."""

    gas: str
    """Id of the gas."""
    prop: str
    """Property, a key of ``PROPERTIES``."""
    value: Fraction
    """Exact value of the printed decimal text."""
    unit: str
    """Unit as spelled in ``builder.base.quantity.UNITS``."""
    text: str
    """The number as printed."""
    source: Source
    """Where it comes from."""
    read: bool
    """Whether it was read in the source or a copy; if not, it is from memory and must be read before it counts."""
    locator: str = ""
    """Page, table or act within the source."""
    note: str = ""
    """Conditions on this value, such as the time a ceiling is averaged over."""


class Library:
    """The gases and their published values; reads each table once, when first asked for it."""

    __slots__ = ()

    def gases(self) -> tuple[GasEntry, ...]:
        """Every gas, in the order of the table."""
        return tuple(_entries().values())

    def gas(self, gas_id: str) -> GasEntry:
        """The gas with exactly this id.

        :raises UnknownGasError: with the nearest ids.
        """
        entry = _entries().get(gas_id)
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

    def source(self, source_id: str) -> Source:
        """The source with this id.

        :raises UnknownNameError: with the nearest ids.
        """
        return read_table(source_id).source

    def sources(self) -> tuple[Source, ...]:
        """Every source that ships."""
        return tuple(read_table(name).source for name in TABLES)

    def published(self, gas_id: str, prop: str, source_ids: Iterable[str]) -> Published | None:
        """The value of the first of these sources that has one, else ``None``.

        :raises UnknownNameError: when gas, property or a source is unknown.
        """
        self.gas(gas_id)
        column = PROPERTIES.get(prop)
        if column is None:
            raise UnknownNameError("property", prop, nearest(prop, PROPERTIES))
        tables = [read_table(source_id) for source_id in source_ids]
        for table in tables:
            text = table.text(gas_id, column)
            if text:
                return Published(
                    gas=gas_id,
                    prop=prop,
                    value=Fraction(text),
                    unit=table.units[column],
                    text=text,
                    source=table.source,
                    read=table.was_read(gas_id, column),
                    locator=table.text(gas_id, "locator") or table.source.locator,
                    note=table.note(gas_id, column),
                )
        return None

    def lel(self, gas_id: str, basis: str) -> Published | None:
        """Lower explosive limit on this basis alone, else ``None``.

        :raises UnknownNameError: when the basis is none of ``LEL_BASES``, or the gas is unknown.
        """
        return self.published(gas_id, "lel", (_known_basis(basis),))

    def uel(self, gas_id: str, basis: str) -> Published | None:
        """Upper explosive limit on this basis alone, else ``None``.

        :raises UnknownNameError: when the basis is none of ``LEL_BASES``, or the gas is unknown.
        """
        return self.published(gas_id, "uel", (_known_basis(basis),))

    def ionisation_energy(self, gas_id: str) -> Published | None:
        """Ionisation energy from the first of ``IONISATION_ENERGY_SOURCES`` that has it, else ``None``."""
        return self.published(gas_id, "ionisation-energy", IONISATION_ENERGY_SOURCES)

    def limits(self, gas_id: str, limit_list: str) -> Mapping[str, Published]:
        """Exposure limits of one list by kind, in the order of ``LIMIT_KINDS``; kinds without a value are absent.

        :raises UnknownNameError: when the list or the gas is unknown.
        """
        if limit_list not in LIMIT_LISTS:
            raise UnknownNameError("list of limits", limit_list, nearest(limit_list, LIMIT_LISTS))
        found = ((kind, self.published(gas_id, kind, (LIMIT_LISTS[limit_list],))) for kind in LIMIT_KINDS)
        return {kind: value for kind, value in found if value is not None}


@cache
def library() -> Library:
    """The one library; making another costs nothing, since the tables are shared."""
    return Library()


@cache
def _entries() -> Mapping[str, GasEntry]:
    return {
        gas_id: GasEntry(
            id=gas_id,
            name=row["name"],
            formula=row["formula"],
            cas=row["cas"],
            synonyms=tuple(word for word in row["synonyms"].split(";") if word),
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
