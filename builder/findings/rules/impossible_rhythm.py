"""Checks of three or more units by one person in less time than the gas has to flow.

A stand that checks several units at once can be the reason. Source: the gas time of the site's own check plan.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.day_margins import today
from builder.figures.figure import Figure, day_text
from builder.figures.ledger import Ledger
from builder.findings.record_findings import first_and_count, subject
from builder.findings.wording import keys
from builder.program.keys.families import CHECK_GAS_TIME
from builder.program.program import Program
from builder.program.records import Record

ID = "impossible-rhythm"
SEVERITIES = (Severity.NOTE,)
FEWEST = 3
"""Units in one run that are more than a slip of the clock."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``note`` for each run; it points to its first row."""
    program, ledger = computed.program, computed.ledger
    times = _gas_times(program, ledger)
    by_person: dict[str, list[Record]] = {}
    for record in program.records:
        if record.by is not None and record.kind.value in times and record.day <= today(ledger):
            by_person.setdefault(record.by.value, []).append(record)
    yield from first_and_count(
        _finding(program, run, times[run[0].kind.value])
        for records in by_person.values()
        for run in _runs(records, times)
    )


def _gas_times(program: Program, ledger: Ledger) -> dict[str, Figure]:
    made: dict[str, Figure] = {}
    for check in program.checks.values():
        figure = ledger.get(CHECK_GAS_TIME(check=check.id)) if check.uses_gas else None
        if figure is not None and (check.kind not in made or _seconds(figure) < _seconds(made[check.kind])):
            made[check.kind] = figure
    return made


def _seconds(figure: Figure) -> Fraction:
    return figure.exact if isinstance(figure.exact, Fraction) else Fraction(0)


def _runs(records: Iterable[Record], times: dict[str, Figure]) -> Iterator[list[Record]]:
    """Rows of one person, each on another unit than the one before and too soon after it."""
    run: list[Record] = []
    for record in records:
        if run and record.unit.value == run[-1].unit.value:
            continue
        if run and not _too_soon(run[-1], record, times):
            if _units(run) >= FEWEST:
                yield run
            run = []
        run.append(record)
    if _units(run) >= FEWEST:
        yield run


def _too_soon(earlier: Record, later: Record, times: dict[str, Figure]) -> bool:
    apart = later.time.value - earlier.time.value
    return Fraction(apart.total_seconds()) < _seconds(times[earlier.kind.value])


def _units(run: list[Record]) -> int:
    return len({record.unit.value for record in run})


def _finding(program: Program, run: list[Record], time: Figure) -> Finding:
    first, last = run[0], run[-1]
    seconds = round((last.time.value - first.time.value).total_seconds())
    who = first.by.value if first.by else ""
    return Finding(
        rule=ID,
        severity=Severity.NOTE,
        message=f"{_units(run)} units checked by {who} within {seconds} s on {day_text(first.day)} ({first.where} to "
        f"{last.where}), though gas flows for {time.printed} in each.",
        where=first.where,
        figures=keys(time),
        source="gas time of the site's own check plan",
        mend="ask how it was done; a stand for several units at once explains it",
        subject=subject(program, first),
    )
