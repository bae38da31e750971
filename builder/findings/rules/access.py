"""Who can change the settings of units."""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.where import Where
from builder.figures.day_margins import day_of, past
from builder.figures.figure import day_text
from builder.figures.ledger import Ledger
from builder.findings.rule import rule
from builder.findings.wording import count_in_words, keys, short_list
from builder.program.keys.families import AS_OF, SETTINGS_CODE_CHANGED, SETTINGS_CODE_DUE
from builder.program.program import Program
from builder.program.records import Person
from builder.program.settings_access import SettingsAccess, names_code


@rule(Severity.WARN, about="page:setpoints")
def access_code_written(program: Program) -> Iterator[Finding]:
    """An export of settings holds the access code of the instruments: whoever has the file can change their alarms.

    The builder drops its value and prints it nowhere. Source: common practice, no published source.
    """
    codes = (setting for setting in program.settings if names_code(setting.name.value))
    for name, rows in grouped(codes, lambda setting: setting.where.file).items():
        units = dict.fromkeys(row.unit.value for row in rows)
        yield access_code_written.found(
            message=f"{name} holds {rows[0].name.value!r} of {count_in_words(len(units), 'unit')}. Its value is not "
            "shown here, but the file itself goes into every frozen copy.",
            where=rows[0].where,
            mend="take the code out of the export, and change it on the units",
            touches=tuple(f"unit:{unit}" for unit in units if unit in program.units),
            lines=tuple(row.where for row in rows),
        )


@rule(Severity.WARN, Severity.NOTE, about="page:setpoints")
def access_not_kept(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Nobody says how the way into the settings is kept, or the code should have been changed by now.

    Whoever was allowed to change settings knows the code after that too. Source: common practice, no published
    source; ISO 9001:2015, 7.1.5.2 asks that adjustments which would void a measurement are guarded.
    """
    # A note where nothing is said, a warn for a code that is older than it may be
    access = program.settings_access
    if access is None:
        if program.setpoints:
            told = "Nothing says who has the access code of the settings, and how it is kept."
            yield _finding(ledger, Severity.NOTE, told, program.setpoints[0].where)
        return
    due, last = ledger.get(SETTINGS_CODE_DUE()), day_of(ledger.get(SETTINGS_CODE_DUE()))
    if due is not None and last is not None and past(last, ledger.today):
        told = f"The access code of the settings was to be changed by {due.printed}."
        yield _finding(ledger, Severity.WARN, told, access.changed.where)
    gone = [f"{one.id} (until {day_text(one.until.value)})" for one in _gone(program, ledger, access)]
    if gone:
        told = f"Who may no longer change settings still knows their access code: {short_list(gone)}."
        yield _finding(ledger, Severity.WARN, told, access.changed.where)


def _gone(program: Program, ledger: Ledger, access: SettingsAccess) -> Iterator[Person]:
    """Who was allowed to change settings until a day since which the code stayed the same."""
    for person in (program.people or {}).values():
        may = any(kind.value == "setting-change" for kind in person.kinds)
        if may and past(person.until.value, ledger.today) and access.changed.value <= person.until.value:
            yield person


def _finding(ledger: Ledger, severity: Severity, told: str, where: Where) -> Finding:
    return access_not_kept.found(
        severity=severity,
        message=told,
        where=where,
        figures=keys(ledger.get(SETTINGS_CODE_CHANGED()), ledger.get(SETTINGS_CODE_DUE()), ledger.get(AS_OF())),
        mend="say under access: in setpoints.yaml who keeps it, how, and when it was changed; change it when due",
    )
