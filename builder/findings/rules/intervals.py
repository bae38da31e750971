"""Checks asked for too seldom, or by days that cannot be."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.quantity import magnitude
from builder.figures.day_margins import today
from builder.figures.figure import Figure, day_text
from builder.figures.ledger import Ledger
from builder.findings.record_findings import subject
from builder.findings.rule import rule
from builder.findings.wording import keys
from builder.program.keys.families import CHECK_GAS_TIME, CHECK_INTERVAL, ENTRY_RETEST, HOT_WORK_RETEST
from builder.program.program import Program
from builder.program.records import Record

INTERVAL_TOO_LONG_MOST = {
    "zero": Fraction(31),
    "flow-block": Fraction(31),
    "bump-test": Fraction(31),
    "calibration": Fraction(366),
}
"""Days."""
LEAK_TEST_MOST = Fraction(31)
"""Days."""
UNSEEN = {"zero": "its zero still stands", "flow-block": "its air still comes through the hose alone"}


@rule(Severity.STOP, Severity.WARN, acceptable=True)
def interval_too_long(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A check with gas, a zero, a flow-block test or a station's leak test that is rarer than is usual anywhere.

    All of them at least every month, a calibration at least every year. Source: common
    practice, no published source. The usual rhythm is far shorter: before each day's use (of a bump test: OSHA
    bulletin of 26 Nov 2024), a calibration as the manual says.
    """
    # A stop for each check that is never asked for more often, once a place where units are; a warn for each station
    for check in program.checks.values():
        most = INTERVAL_TOO_LONG_MOST.get(check.kind)
        places = dict.fromkeys((unit.place, unit.model.value) for unit in program.units.values())
        asked = [check.strictest_in(place, model) for place, model in places] or [check.strictest]
        late = [one for one in asked if one is not None and most is not None and one.interval.value.nominal_days > most]
        if late:
            rarest = max((one.interval for one in late), key=lambda interval: interval.value.nominal_days)
            usual = "a year" if check.kind == "calibration" else "a month"
            yield interval_too_long.found(
                severity=Severity.STOP,
                message=f"{check.name} is asked for only every {rarest.text}, longer than {usual}. Between two of "
                f"them nothing shows that {UNSEEN.get(check.kind, 'a unit still sees gas')}.",
                where=rarest.where,
                figures=keys(ledger.get(CHECK_INTERVAL(check=check.id))),
                mend=f"ask for it at least once in {usual}, and as often as the manual says",
                subject="page:checks",
            )
    for station in program.stations.values():
        every = station.leak_test_every
        if every.value.nominal_days > LEAK_TEST_MOST:
            yield interval_too_long.found(
                severity=Severity.WARN,
                message=f"{station.name.value} is tested for leaks only every {every.text}, longer than a month. "
                "Between two of these tests nothing shows that its gas is not thinned by air.",
                where=every.where,
                mend="test it for leaks at least once in a month, and as often as its manual says",
                subject="page:calibration-gas",
            )


FEWEST = 3
"""Units in one run that are more than a slip of the clock."""


@rule(Severity.NOTE, many=True)
def impossible_rhythm(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Checks of three or more units by one person in less time than the gas has to flow.

    A stand that checks several units at once can be the reason. Source: the gas time of the site's own check plan.
    """
    # A note for each run; it points to its first row
    times = _gas_times(program, ledger)
    now = today(ledger)
    signed = (row for row in program.records if row.by and row.kind.value in times and row.day <= now)
    by_person = grouped(signed, lambda row: row.by and row.by.value)
    for run in (run for records in by_person.values() for run in _runs(records, times)):
        first, last, time = run[0], run[-1], times[run[0].kind.value]
        seconds = round((last.time.value - first.time.value).total_seconds())
        who = first.by.value if first.by else ""
        yield impossible_rhythm.found(
            message=f"{_units(run)} units checked by {who} within {seconds} s on {day_text(first.day)} ({first.where} "
            f"to {last.where}), though gas flows for {time.printed} in each.",
            where=first.where,
            figures=keys(time),
            source="gas time of the site's own check plan",
            mend="ask how it was done; a stand for several units at once explains it",
            subject=subject(program, first),
        )


def _gas_times(program: Program, ledger: Ledger) -> dict[str, Figure]:
    made: dict[str, Figure] = {}
    for check in program.checks.values():
        figure = ledger.get(CHECK_GAS_TIME(check=check.id)) if check.uses_gas else None
        if figure is not None and (check.kind not in made or figure.number < made[check.kind].number):
            made[check.kind] = figure
    return made


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
    return Fraction(apart.total_seconds()) < times[earlier.kind.value].number


def _units(run: list[Record]) -> int:
    return len({record.unit.value for record in run})


RETEST_SELDOM_MOST = Fraction(60)
"""Minutes."""


@rule(Severity.WARN, acceptable=True)
def retest_seldom(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Air that is tested again less often than every hour while people are inside or a flame burns.

    Source: open flame in a utility space: just before and at least hourly, 29 CFR 1910.269 (e)(14); for entry the
    rule names no number, 29 CFR 1910.146 (d)(5)(ii), and an hour is common practice, no published source.
    """
    # A warn for entry and for hot work
    site = program.site
    for what, values, key in (
        ("While people are inside", site.entry, ENTRY_RETEST()),
        ("At hot work", site.hot_work, HOT_WORK_RETEST()),
    ):
        if values is None or magnitude(values.retest_every.value, "min") <= RETEST_SELDOM_MOST:
            continue
        yield retest_seldom.found(
            message=f"{what} the air is tested again only every {values.retest_every.text}, longer than an hour.",
            where=values.retest_every.where,
            figures=keys(ledger.get(key)),
            source="29 CFR 1910.269 (e)(14), open flame: at least hourly; else common practice",
            mend="test again at least every hour, and after each break, or leave a running detector at the work",
            subject="page:program",
        )
