"""What this handbook cannot know, because no record, no use or no register is there. Silence is never a pass.

Source: common practice, no published source; 29 CFR 1910.146 (e)(6) and ISO 9001:2015, 7.1.5 ask for such records.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE, count_in_words, short_list
from builder.program.inventory import Unit

ID = "not-on-record"
SEVERITIES = (Severity.WARN, Severity.NOTE)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` where units are in use and nothing is recorded, a ``note`` for each thing that is not known."""
    program = computed.program
    used = [unit for unit in program.units.values() if unit.in_use]
    if not used:
        return
    if not program.records:
        told = "No check and no use of any unit is recorded here. That every check was done and passed is not known."
        yield _finding(Severity.WARN, used, told, "bring in the records of checks and use under records/")
    elif not any(record.kind.value == "use" for record in program.records):
        told = "No use of any unit is recorded. Where a unit was when it turned out wrong is then not known."
        yield _finding(Severity.NOTE, used, told, "record who takes which unit where, as rows of kind use")
    elif silent := _silent(computed, used):
        told = f"No use of {count_in_words(len(silent), 'unit')} in use is recorded: "
        told += f"{short_list([unit.id for unit in silent], 12)}. They were in service: ask where they were."
        mend = "record their use too, or enter them as spare from the day they lie idle"
        yield _finding(Severity.NOTE, silent, told, mend, tuple(f"unit:{unit.id}" for unit in silent))
    if not program.movements:
        told = (
            "No movements of units are kept. Where a unit was on a past day, in what state and with whom, is not known."
        )
        yield _finding(Severity.NOTE, used, told, "enter issue, return, loan, repair and the like under movements/")
    if program.cards and not program.copies:
        told = "No register of printed copies is kept. Who holds a card that must be taken back is then not known."
        yield _finding(Severity.NOTE, used, told, "enter who holds which card in copies.yaml")
    if program.people is None:
        told = "No register of people is kept here. Who may test, calibrate or go in is not known to this handbook."
        yield _finding(Severity.NOTE, used, told, "enter people and what they may do in people.yaml")
    if not program.settings:
        told = "No settings were read back from any unit. That alarms are set as printed here is not known."
        yield _finding(Severity.NOTE, used, told, "read the settings of the units and add the export to readback/")


def _silent(computed: Computed, used: list[Unit]) -> list[Unit]:
    """Units in use of which no day of use is on record; use of others says nothing of them."""
    logs = computed.logbook.units
    return [unit for unit in used if unit.id not in logs or not logs[unit.id].use_days]


def _finding(severity: Severity, used: list[Unit], told: str, mend: str, touches: tuple[str, ...] = ()) -> Finding:
    return Finding(
        rule=ID,
        severity=severity,
        message=told,
        where=Where(used[0].where.file, used[0].where.line),
        source=COMMON_PRACTICE,
        mend=mend,
        subject="page:checks",
        touches=touches,
    )
