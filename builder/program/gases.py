"""The gases of the site: picks from the reference library, with reasoned overrides."""

from functools import partial

from builder.base.nearest import nearest
from builder.base.quantity import Quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.declared import asked, record
from builder.program.faults import Faults
from builder.program.localized import LocalizedText, maybe_localized_text
from builder.program.reading import Fields
from builder.reference.asked_gases import ENTER, asked_gas
from builder.reference.errors import AmbiguousGasError, UnknownGasError
from builder.reference.library import GasEntry, Library

OXYGEN_GAS = "oxygen"
OVERRIDES = {"lel": "%vol", "uel": "%vol", "ionisation-energy": "eV"}
"""Properties a site may override, with their unit."""


def _said(fields: Fields, key: str) -> Given[str]:
    """A text that somebody wrote, and not what stands in an entry to be copied."""
    given = fields.text(key)
    if given.value == ENTER:
        fields.faults.lacks(given.where, f"{key} still says {ENTER}", "what it rests on, in your own words")
    return given


@dataclass(frozen=True, slots=True, kw_only=True)
class Override:
    """A value the site uses instead of the library's."""

    value: Given[Quantity]
    reason: Given[str] = asked(_said)
    source: Given[str] = asked(_said)


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnGas:
    """A gas, or a mixture that is handled as one, that the library does not have."""

    molar_mass: Given[Quantity] = asked(Fields.quantity, "g/mol", above=True)
    """Of a mixture the mean."""
    reason: Given[str] = asked(_said)
    source: Given[str] = asked(_said)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gas:
    """One gas the site names."""

    id: str
    entry: GasEntry
    """Its row in the reference library."""
    name: str
    """The site's name for it, or the library's."""
    overrides: dict[str, Override]
    """By property."""
    clings: bool
    """Whether the site says that it clings to sampling tubes."""
    where: Where
    called: LocalizedText | None = None
    """The site's own name in every language it has; ``None`` where the library's is used."""
    own: OwnGas | None = None
    """What the site itself says of a gas that the library does not have."""


def read_gas(fields: Fields, library: Library) -> Gas | None:
    """An entry of ``gases.yaml``; ``None`` for a gas that the library does not have, which is noted."""
    identity = fields.identity("gas")
    named = fields.maybe_text("library") or identity
    called = maybe_localized_text(fields, "called")
    overrides = fields.maybe_part("overrides", _overrides) or {}
    clings = fields.yes("clings-to-tubes")
    made = fields.maybe_part("own", lambda part: _own(part, identity, library), "own gas")
    entry, own = made or (_of_library(named, library, fields.faults), None)
    if entry is None:
        return None
    return Gas(
        id=identity.value,
        entry=entry,
        name=called.value if called else entry.name,
        overrides=overrides,
        clings=clings,
        where=identity.where,
        called=called,
        own=own,
    )


def _of_library(named: Given[str], library: Library, faults: Faults) -> GasEntry | None:
    known = {entry.id: entry for entry in library.gases()}
    if named.value and named.value not in known:
        allowed = "the id of a gas of the library (see `handbook gas`), library: ID, or own: what you know of it"
        close = _meant(named.value, library) or nearest(named.value, known)
        asked = asked_gas(named.value)
        if asked is not None:
            allowed, close = f"{asked.why} `handbook gas {named.value}` prints what to write instead", ()
        faults.unknown(named.where, f"gas {named.value!r} is not in the library", allowed, close)
        faults.overlook("gas")  # that others name it rightly follows from this
    return known.get(named.value)


def _own(fields: Fields, identity: Given[str], library: Library) -> tuple[GasEntry, OwnGas]:
    """A gas of the site's own; where the library has it, its values are not to be left aside."""
    name, written = fields.text("name"), fields.maybe_text("written")
    cas = fields.maybe_text("cas")
    for text in (identity, *((cas,) if cas else ())):
        meant = _meant(text.value, library) if text.value else ()
        if meant:
            fields.faults.twice(text.where, f"own gas {text.value!r}, which the library has", "library: " + meant[0])
    own = record(OwnGas)(fields)
    shown = written.value if written else name.value
    return GasEntry(id=identity.value, name=name.value, formula=shown, cas=cas.value if cas else ""), own


def _meant(text: str, library: Library) -> tuple[str, ...]:
    """The gases that have this text as their formula, number or other name."""
    try:
        return (library.find(text).id,)
    except AmbiguousGasError as error:
        return error.nearest
    except UnknownGasError:
        return ()


def _overrides(fields: Fields) -> dict[str, Override]:
    found = {
        prop: fields.maybe_part(prop, partial(_override, unit), f"override of {prop}")
        for prop, unit in OVERRIDES.items()
    }
    return {prop: override for prop, override in found.items() if override}


def _override(unit: str, fields: Fields) -> Override:
    return record(Override, value=fields.quantity("value", unit, above=True))(fields)
