"""Lists of exposure limits that a site brings: a licensed copy that cannot ship, a country's law, its own policy."""

from collections.abc import Iterable, Mapping
from datetime import date
from fractions import Fraction
from functools import partial

from builder.base.nearest import nearest
from builder.base.quantity import magnitude
from builder.base.record import dataclass
from builder.base.rounding import plain
from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.faults import Faults
from builder.program.gases import Gas
from builder.program.reading import Fields
from builder.reference.library import Library
from builder.reference.limits import LIMIT_KINDS, USUAL, LimitList, column_of, mass_column_of, shipped_lists
from builder.reference.sources import EVIDENCE, Source
from builder.reference.tables import ReferenceTable, Row

LIMIT_LIST = "limit list"
"""Kind of id that lists have, shipped ones as well."""
BUILT = Where("(built)", 1)
"""Place of what the builder defines itself."""
ENDS = {column_of(""): "ppm", mass_column_of(""): "mg/m3"}
"""End of a column of numbers -> its unit."""
LICENCE = "a copy that the site brought; its terms are the site's to keep"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Values:
    """One entry of a list: the limits of one gas, perhaps from a day on."""

    gas: str
    since: date | None
    row: Row
    where: Where


def read_limit_lists(
    nodes: Iterable[Node], gases: Mapping[str, Gas], library: Library, faults: Faults
) -> tuple[LimitList, ...]:
    """The site's own lists, in the order of their files; ids of lists that ship are taken."""
    for name in shipped_lists():
        faults.define(LIMIT_LIST, Given(name, BUILT, name))
    return tuple(_list(node, gases, library, faults) for node in nodes)


def _list(node: Node, gases: Mapping[str, Gas], library: Library, faults: Faults) -> LimitList:
    fields = Fields(node, faults, "a list of limits")
    identity, short = fields.identity(LIMIT_LIST), fields.text("short")
    label, hours = fields.maybe_text("label"), fields.maybe_quantity("twa-hours", "h", above=True)
    second = fields.maybe_text("second-reading")
    source = _source(fields, identity.value, second)
    name = fields.text("name")
    read = partial(_values, gases=gases, library=library, read_once=second is None)
    values = [one for one in fields.parts("limits", "limit", read) if one is not None]
    fields.close()
    return LimitList(
        id=identity.value,
        short=short.value,
        label=label.value if label else f"{short.value} limit",
        name=name.value,
        twa_hours=magnitude(hours.value, "h") if hours else Fraction(USUAL),
        tables=(_table(source, values, faults),),
    )


def _source(fields: Fields, list_id: str, second: Given[str] | None) -> Source:
    caution = fields.maybe_text("caution")
    read = fields.text("how-read").value
    return Source(
        id=list_id,
        title=fields.text("title").value,
        edition=fields.text("edition").value,
        locator=f"{fields.where}",
        how_read=f"{read}; second reading: {second.value}" if second else read,
        checked=f"{fields.day('read-on').value:%Y-%m}",
        licence=LICENCE,
        evidence=fields.choice("evidence", EVIDENCE).value,
        caution=caution.value if caution else "",
    )


def _values(part: Fields, gases: Mapping[str, Gas], library: Library, *, read_once: bool) -> _Values | None:
    gas, since = _gas(part, gases, library), part.maybe_day("from")
    given = {kind: part.maybe_quantity(kind, "ppm", "%vol", above=True) for kind in LIMIT_KINDS}
    found = {column_of(kind): plain(magnitude(one.value, "ppm")) for kind, one in given.items() if one is not None}
    masses = {kind: part.maybe_quantity(f"{kind}-mass", "mg/m3", above=True) for kind in LIMIT_KINDS}
    found |= {mass_column_of(kind): plain(magnitude(one.value, "mg/m3")) for kind, one in masses.items() if one}
    for kind, one in masses.items():
        if one is not None and given[kind] is None:
            part.faults.lacks(one.where, f"{kind}-mass without {kind}", f"the limit itself in ppm, as {kind}")
    page, note = part.maybe_text("page"), part.maybe_text("note")
    not_read = part.yes("not-read")
    if not found and part.usable:
        part.faults.lacks(part.where, "an entry without a limit", f"one or more of {', '.join(LIMIT_KINDS)}, in ppm")
    if not gas:
        return None
    marks = ";".join(found)
    row = found | {
        "from": since.value.isoformat() if since else "",
        "not_read": marks if not_read else "",
        "read_once": marks if read_once and not not_read else "",
        "locator": ", ".join([*([page.value] if page else []), f"{part.where}"]),
        "note": note.value if note else "",
    }
    return _Values(gas=gas, since=since.value if since else None, row=row, where=part.where)


def _gas(part: Fields, gases: Mapping[str, Gas], library: Library) -> str:
    """The library's id of a gas that the site or the library has; empty where neither has it."""
    given = part.text("gas")
    known = {entry.id for entry in library.gases()}
    if given.value in gases:
        return gases[given.value].entry.id
    if given.value and given.value not in known:
        found, allowed = f"gas {given.value!r}", "a gas of gases.yaml or of the library (see `handbook gas`)"
        part.faults.unknown(given.where, found, allowed, nearest(given.value, sorted({*gases, *known})))
        return ""
    return given.value


def _table(source: Source, values: list[_Values], faults: Faults) -> ReferenceTable:
    rows: dict[str, Row] = {}
    later: dict[str, list[_Values]] = {}
    for one in values:
        same = [other for other in values if (other.gas, other.since) == (one.gas, one.since)]
        if same[0] is not one:
            found = f"{one.gas!r} stands twice for one day (first at {same[0].where})"
            faults.twice(one.where, found, "each gas once, or from another day on")
        elif one.since is None:
            rows[one.gas] = one.row
        else:
            later.setdefault(one.gas, []).append(one)
    return ReferenceTable(
        source=source,
        units={
            column: unit for one in values for column in one.row for end, unit in ENDS.items() if column.endswith(end)
        },
        rows=rows,
        later={
            gas: tuple(one.row for one in sorted(entries, key=lambda entry: entry.row["from"]))
            for gas, entries in later.items()
        },
    )
