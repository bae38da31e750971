"""Tables of corrected readings and of true values behind alarms, used by area pages and the charts."""

from __future__ import annotations

from collections.abc import Iterable

from builder.pages.blocks import Block, Inlines, Table
from builder.pages.handbook.handbook_context import HandbookContext, reading_part
from builder.pages.handbook.labels import ALARMS
from builder.pages.handbook.parts import inlines, table
from builder.program.areas import Area


def reading_corrections(book: HandbookContext, area: Area) -> Table | None:
    """True values for displayed readings, a column a gas; ``None`` where no hazard has a correction."""
    parts = tuple(reading_part(given.value) for given in book.program.site.readings)
    gases = [
        hazard.gas.value
        for hazard in area.hazards
        if any(f"reading.{area.id}.{hazard.gas.value}.{part}" in book.ledger for part in parts)
    ]
    if not gases:
        return None
    rows = (
        (book.fig(f"reading.{part}"), *(book.fig(f"reading.{area.id}.{gas}.{part}") for gas in gases)) for part in parts
    )
    names = [book.names[f"gas:{gas}"] for gas in gases]
    return table(
        ("Display shows", *(f"{name} is really" for name in names)),
        rows,
        caption=f"Corrected readings, {area.name}",
        numeric=tuple(range(len(gases) + 1)),
        kind="matrix",
    )


def true_at_alarm(book: HandbookContext, area: Area) -> Block | None:
    """What is really there when the flammable alarm sounds, a row a gas and alarm."""
    rows = [
        (
            (book.link("gas", gas),),
            inlines(ALARMS[alarm]),
            book.fig(f"setpoint.{area.id}.flammable.{alarm}"),
            book.fig(f"setpoint.{area.id}.{gas}.{alarm}.true"),
            book.fig(f"setpoint.{area.id}.{gas}.{alarm}.vol"),
        )
        for gas in _hazards(area)
        for alarm in ("low", "high")
        if f"setpoint.{area.id}.{gas}.{alarm}.true" in book.ledger
    ]
    columns = ("Gas", "Alarm", "Display shows", "Really there", "By volume")
    return table(columns, rows, caption="When the flammable alarm sounds", numeric=(2, 3, 4)) if rows else None


def true_at_vapour_alarm(book: HandbookContext, area: Area) -> Block | None:
    """What is really there when the vapour alarm sounds, a row a gas and alarm."""
    rows = [
        (
            (book.link("gas", gas),),
            inlines(name),
            book.fig(f"setpoint.{area.id}.vapour.{alarm}"),
            book.fig(f"setpoint.{area.id}.{gas}.{alarm}.vapour"),
        )
        for gas in _hazards(area)
        for alarm, name in ALARMS.items()
        if f"setpoint.{area.id}.{gas}.{alarm}.vapour" in book.ledger
    ]
    columns = ("Gas", "Alarm", "Display shows", "Really there")
    return table(columns, rows, caption="When the vapour alarm sounds", numeric=(2, 3)) if rows else None


def window_table(
    book: HandbookContext, cylinders: Iterable[str], checks: tuple[str, ...], caption: str, *, only: str = ""
) -> Table:
    """Acceptance windows that these cylinders give in these checks, for every sensor or only one."""
    rows: list[tuple[Inlines, ...]] = []
    for cylinder in cylinders:
        for check in checks:
            for sensor in (only,) if only else book.program.sensors:
                start = f"window.{cylinder}.{sensor}.{check}"
                if any(f"{start}.{end}" in book.ledger for end in ("expected", "from", "to")):
                    rows.append(
                        (
                            (book.link("sensor", sensor),),
                            (book.link("cylinder", cylinder),),
                            (book.link("check", check),),
                            *(book.fig(f"{start}.{end}") for end in ("expected", "from", "to")),
                        )
                    )
    columns = ("Sensor", "Cylinder", "Check", "Expected display", "From", "To")
    return table(columns, rows, caption=caption, numeric=(3, 4, 5), empty="no window can be computed")


def _hazards(area: Area) -> tuple[str, ...]:
    return tuple(hazard.gas.value for hazard in area.hazards)
