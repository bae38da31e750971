"""``handbook fit``: what the records show of one unit on one day, before its first use."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.base.errors import UsageError
from builder.base.nearest import hint
from builder.base.unseen import visible
from builder.cli.options import content_option, day_of
from builder.cli.telling import faults_told

if TYPE_CHECKING:
    from builder.figures.computed import Computed
    from builder.figures.logbook.fitness_found import Fitness
    from builder.program.records import Person

WIDTH = 20


@click.command()
@click.argument("unit")
@click.argument("day", callback=day_of)
@content_option
def fit(unit: str, day: date, content: Path) -> int:
    r"""Show from the records whether UNIT was fit on DAY before its first use, and what nobody knows.

    State, holder, area, checks, gas, settings and person. The exit status is 0 only where all of it is on record and
    nothing speaks against it.

    \b
    Examples:
      handbook fit d-021 2026-09-21
    """
    from builder.figures.figure import NO_BREAK_SPACE  # noqa: PLC0415 - `--help` needs none of it
    from builder.figures.logbook.fitness import fit_on  # noqa: PLC0415 - `--help` needs none of it
    from builder.figures.logbook.fitness_found import Shown  # noqa: PLC0415 - as above
    from builder.figures.of_content import computed_of  # noqa: PLC0415 - as above

    with faults_told(content):
        computed = computed_of(content, day)
    units = computed.program.units
    if unit not in units:
        raise UsageError(f"no unit {unit!r} in the inventory{hint(unit, units)}")
    found = fit_on(computed, units[unit], day)
    for label, text in lines_of(computed, found):
        line = f"{label.replace(NO_BREAK_SPACE, ' '):<{WIDTH}}{text.replace(NO_BREAK_SPACE, ' ')}"
        click.echo(visible(line.rstrip()))
    return 0 if found.shown is Shown.FIT else 1


def lines_of(computed: Computed, found: Fitness) -> Iterator[tuple[str, str]]:
    """Everything that is known of the day, a line each, with the row that tells it; then what is not."""
    from builder.figures.figure import day_text  # noqa: PLC0415 - `--help` needs none of it
    from builder.figures.logbook.fitness import clock_text  # noqa: PLC0415 - as above

    def told(day: date | None) -> str:
        return day_text(day) if day else "not on record"

    yield f"{found.unit.id}, {day_text(found.day)}", found.shown.value
    for stay in found.stays:
        area = computed.program.areas[stay.area].name if stay.area else "no area named"
        yield "state", f"{stay.state}, {area}, {stay.holder or 'no holder named'}  [{stay.where}]"
        if stay.certificate:
            until = stay.certificate_until.value if stay.certificate_until else None
            yield "certificate", f"{stay.certificate}, last day {told(until)}"
    use, test, person = found.first_use, found.tested, found.person
    yield "first use", f"{clock_text(use)}  [{use.where}]" if use else "none on record"
    yield "check with gas", f"{test.kind.value} {clock_text(test)}  [{test.where}]" if test else "none on record"
    row = f"  [{found.calibrated_by.where}]" if found.calibrated_by else ""
    yield "calibration", f"{told(found.calibrated)}{row}, good through {told(found.good_through)}"
    yield "cylinder", f"{found.bottle}, last day {told(found.bottle_until)}" if found.bottle else "not on record"
    yield "settings read back", told(found.settings_read)
    for episode in found.faults:
        yield "open fault", f"{episode.kind} {clock_text(episode.first[0])}  [{episode.first[0].where}]"
    yield "person", _authorised(person) if person else "not on record"
    yield from (("against it", text) for text in found.against)
    yield from (("not known", text) for text in found.unknown)


def _authorised(person: Person) -> str:
    """Who used it, what for, and from when until when."""
    from builder.figures.figure import day_text  # noqa: PLC0415 - `--help` needs none of it

    kinds = ", ".join(kind.value for kind in person.kinds)
    return f"{person.name}: {kinds}, {day_text(person.start.value)} to {day_text(person.until.value)}"
