"""How many of the units in use had their settings read back, not longer ago than the site allows."""

from datetime import date

from builder.figures.formulas import clock, origin
from builder.figures.recorder import FigureRecorder
from builder.figures.terms import constant, written
from builder.figures.topics.intervals import on_time
from builder.program.interval import Interval
from builder.program.keys.families import SITE_SETTINGS_READ, SITE_SETTINGS_READ_EVERY
from builder.program.program import Program

YEARLY = Interval(count=12, unit="month", text="12 months")
"""Where the site names no age; common practice, no published source."""


def compute(recorder: FigureRecorder) -> None:
    """Enter ``site.settings-read-every`` and ``site.settings-read``; nothing where no settings are read back."""
    program, key = recorder.program, SITE_SETTINGS_READ_EVERY()
    if not program.settings:
        return
    said, label = program.site.settings_read_every, "Age that a reading of settings may have"
    told = written(label, said) if said else constant(label, YEARLY, source="common practice, no published source")
    recorder.derived(key, label, "", None, origin.stated, told)
    last, oldest = last_read(program, recorder.as_of), age_of(program)
    read = [
        unit.id in last and clock.next_due(last[unit.id], oldest) >= recorder.as_of
        for unit in program.units.values()
        if unit.in_use
    ]
    on_time(
        recorder, SITE_SETTINGS_READ(), "Units in use whose settings were read back in time", read, ", units in use"
    )


def age_of(program: Program) -> Interval:
    """How old a reading of settings may be."""
    return program.site.settings_read_every.value if program.site.settings_read_every else YEARLY


def last_read(program: Program, as_of: date) -> dict[str, date]:
    """The last day on which any setting of a unit was read, by unit; days to come do not count."""
    last: dict[str, date] = {}
    for setting in program.settings:
        read = setting.read_on.value
        if read <= as_of:
            last[setting.unit.value] = max(read, last.get(setting.unit.value, read))
    return last
