"""Units of a big site, place by place: above so many of them no page, and no chapter of the book, lists all at once."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Final, TypeVar

from builder.base.grouping import grouped
from builder.base.record import dataclass
from builder.figures.due_checks import LATE, DueCheck, State
from builder.pages.blocks import FILE, Absent, Block, Fig, Inlines, Link, Strong, Table, Text
from builder.pages.compositions import Page
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import STATES, word
from builder.pages.handbook.parts import Row, inlines, listed, page, para, table, to
from builder.program.checks import Check
from builder.program.inventory import Unit
from builder.program.keys.families import AS_OF

MANY_UNITS: Final = 200
"""More units than this are listed place by place: 200 rows are some 100 kB on a telephone, and five sheets of paper."""
MANY_CYLINDERS: Final = 60
"""With more cylinders than this, the windows of each are on its own page alone, and the book has only their list."""
ROWS: Final = 200
"""Rows of one page of a list that goes on over several pages."""
PRESSING: Final = (*LATE, State.SOON)
"""States that are set strong, as a reader sees them."""
SPARE = "spare"
Part = TypeVar("Part")


def many_units(book: HandbookContext) -> bool:
    """Whether units are listed place by place."""
    return len(book.program.units) > MANY_UNITS


def many_cylinders(book: HandbookContext) -> bool:
    """Whether windows are left to the page of each cylinder."""
    return len(book.program.cylinders) > MANY_CYLINDERS


def windows_elsewhere() -> Block:
    """Where the acceptance windows of a site with many cylinders stand."""
    gases = to("page:calibration-gas", "calibration gas")
    return para("The windows depend on the cylinder and stand on its page: ", gases, ".")


def even_runs(things: Sequence[Part]) -> tuple[tuple[Part, ...], ...]:
    """Runs of at most ``ROWS`` things, as even as can be.

    >>> [len(part) for part in even_runs(range(401))]
    [134, 134, 133]
    """
    count = max(1, -(-len(things) // ROWS))
    edges = [-(-len(things) * number // count) for number in range(count + 1)]
    return tuple(tuple(things[start:end]) for start, end in pairwise(edges))


# ---- the day a check holds -----------------------------------------------------------


def due_day(due: DueCheck) -> Inlines:
    """The last day the last good check holds, marked for the reader's browser, or why there is none."""
    if due.key:
        return (Fig(due.key, due=True),)
    return (Absent("no good check counts"),)


def state_words(due: DueCheck) -> Inlines:
    """The state on the handbook's day; nothing where nothing is to be done."""
    if due.state in (State.NEVER, State.UNSHOWN):
        return (Strong(inlines(f"{due.state.value.upper()}: before use")),)
    if due.state is State.OVERDUE:
        return (Strong(inlines("OVERDUE since ", Fig(due.key))),)
    if due.state is State.SOON and due.check.due_soon:
        return inlines("within ", due.check.due_soon.text)
    return inlines(due.state.value if due.state is State.DAILY else "")


# ---- places ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class RegisterPlace:
    """An area, or all pools together, with its units and their dated and daily checks."""

    area: str
    """Id of the area, empty for the pools."""
    name: str
    units: tuple[Unit, ...]
    due_checks: tuple[DueCheck, ...]

    def reference(self, number: int = 1) -> str:
        """Reference of the page that lists its units, or of a further one; no id of an area ends in a hyphen."""
        return f"units-in:{self.area or 'pools-'}-" + (f"-{number}-" if number > 1 else "")


def places(book: HandbookContext) -> tuple[RegisterPlace, ...]:
    """Every place that has units, in the order of the areas, the pools last."""
    units = grouped(book.program.units.values(), _area_of)
    checks = grouped(book.computed.due_checks, lambda due: _area_of(due.unit))
    names = {area.id: area.name for area in book.program.areas.values()} | {"": "Units in pools"}
    return tuple(
        RegisterPlace(area, name, tuple(units[area]), tuple(checks.get(area, ())))
        for area, name in names.items()
        if area in units
    )


def _area_of(unit: Unit) -> str:
    return unit.area.value if unit.area else ""


def by_place(book: HandbookContext, *, columns: Sequence[str] = (),
             more: Callable[[RegisterPlace], Row] | None = None,
             only: str = "") -> Table:  # fmt: skip
    """How many units each place has, in which state, and how their checks stand; each place leads to its list.

    :param columns: heads of further columns, which ``more`` fills.
    :param only: id of the one check that is counted, or empty for all.
    """
    heads = ("Place", "Units", "In use", "Spare", "In other states", "Checks overdue or not shown good", "Due soon")
    rows = []
    for place in places(book):
        used = sum(unit.in_use for unit in place.units)
        spare = sum(unit.state.value == SPARE for unit in place.units)
        counted = Counter(due.state for due in place.due_checks if only in ("", due.check.id))
        late = sum(counted[state] for state in LATE)
        counts = (len(place.units), used, spare, len(place.units) - used - spare, late, counted[State.SOON])
        name: Inlines = (Link(place.reference(), (Text(place.name),)),)
        rows.append((name, *(str(count) for count in counts), *(more(place) if more else ())))
    numeric = tuple(range(1, len(heads)))
    return table((*heads, *columns), rows, numeric=numeric, caption="Units by place, as they stood when built")


# ---- the lists -----------------------------------------------------------------------------


def register_pages(book: HandbookContext) -> Iterator[Page]:
    """The units of each place; none on a site whose units fit on one page."""
    for place in places(book) if many_units(book) else ():
        parts = even_runs(place.units)
        for number, units in enumerate(parts, start=1):
            yield _page(book, place, units, number, len(parts))


def _page(book: HandbookContext, place: RegisterPlace, units: Iterable[Unit], number: int, count: int) -> Page:
    where = f"Units in {place.name}" if place.area else place.name
    area: Inlines = inlines("The area: ", book.link("area", place.area), ". ") if place.area else ()
    further = [to(place.reference(other), f"part {other}") for other in range(1, count + 1) if other != number]
    reference = place.reference(number)
    blocks: tuple[Block, ...] = (
        register(book, units, {(due.unit.id, due.check.id): due for due in place.due_checks}),
        *((para("More of them: ", *listed(further), "."),) if further else ()),
        para(*area, "To print or take along: ", *listed(prints(book, place.area)), "."),
    )
    return page(
        reference,
        where if count == 1 else f"{where}, part {number}",
        "detectors",
        inlines("Every unit kept there, and until when its checks hold, counted from ", *book.fig(AS_OF()), "."),
        blocks,
    )


def kept_here(book: HandbookContext, area: str) -> Block:
    """How many units an area has, for its own page, and where they are listed."""
    units = tuple(unit for unit in book.program.units.values() if unit.area and unit.area.value == area)
    if not units:
        return para("None is kept here.")
    there = RegisterPlace(area, "", units, ()).reference()
    return para(f"Units kept here: {len(units)}, ", to(there, "listed on a page of their own"), ".")


def register(book: HandbookContext, units: Iterable[Unit], known: dict[tuple[str, str], DueCheck]) -> Table:
    """Units with serial, model and state, and until when each dated check holds."""
    checks = _dated(book)
    rows = []
    for unit in units:
        found = {check.id: known[unit.id, check.id] for check in checks if (unit.id, check.id) in known}
        pressing = [due for due in found.values() if due.state in PRESSING]
        gravest = min(pressing, key=lambda due: PRESSING.index(due.state), default=None)
        rows.append(
            (
                book.link("unit", unit.id),
                unit.serial.value,
                book.link("model", unit.model.value),
                word(STATES, unit.state.value),
                *(_held(found.get(check.id)) for check in checks),
                state_words(gravest) if gravest else ("" if found else "not to be used"),
            )
        )
    columns = [f"{check.name} good through" for check in checks]
    numeric = tuple(range(4, 4 + len(checks)))
    return table(("Unit", "Serial", "Model", "State", *columns, "When built"), rows, numeric=numeric, empty="no unit")


def _held(due: DueCheck | None) -> Inlines:
    if due is None:
        return inlines("not asked")
    return inlines(due.state.value) if due.state is State.DAILY else due_day(due)


def _dated(book: HandbookContext) -> tuple[Check, ...]:
    """Checks that hold until a day; those before each day's use are in the words of the pages of checks."""
    return tuple(
        check for check in book.program.checks.values()
        if any(not interval.interval.value.each_day_of_use for interval in check.intervals)
    )  # fmt: skip


def prints(book: HandbookContext, area: str) -> Iterator[Inlines]:
    """Links to what is printed or taken along for an area, or for the pools."""
    for calendar in book.outputs.calendars:
        if calendar.area == area and area:
            yield (to(f"{FILE}{calendar.path}", "calendar"),)
    for sheet in book.outputs.log_sheets:
        if sheet.area == area:
            language = "" if sheet.name == sheet.id else f" ({sheet.language})"
            yield (to(f"{FILE}{sheet.path}", f"log sheet for {sheet.title}{language}"),)
