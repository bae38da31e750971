"""Checks that are late, nowhere planned or asked for too seldom, and those made faster than their gas can flow."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.quantity import magnitude
from builder.base.where import Where
from builder.figures.due_checks import DueCheck, State
from builder.figures.figure import Figure, day_text
from builder.figures.ledger import Ledger
from builder.findings.record_findings import subject
from builder.findings.rule import rule
from builder.findings.wording import count_in_words, keys, short_list
from builder.program.keys import families as keyed
from builder.program.program import Program
from builder.program.records import Record

FAULTS = {
    State.NEVER: "has no day on which it was last good",
    State.UNSHOWN: "was not shown good for every sensor since a failure or a change of sensor",
    State.OVERDUE: "was due",
}
DAYS = (keyed.UNIT_LAST, keyed.UNIT_DUE)
AHEAD = "is dated after the day this handbook is judged on"


@rule(Severity.STOP, Severity.WARN)
def check_overdue(due_checks: tuple[DueCheck, ...], ledger: Ledger) -> Iterator[Finding]:
    """A unit whose calendar check is overdue, was never done, or is dated after the handbook's day.

    The due day itself is still good. Checks before each day of use are not judged by the calendar, and a pump test
    not on models without a pump, nor the change of a part on models without it. Source: the site's own check plan,
    which names the source of each interval.
    """
    # A stop for units in use, a warn for spare ones: once for all that lack the same check in the same way
    groups: dict[tuple[str, bool, str], list[DueCheck]] = {}
    for due in due_checks:
        last = due.unit.last.get(due.check.id)
        ahead = due.state is not State.DAILY and last is not None and last.value > ledger.today
        fault = AHEAD if ahead else FAULTS.get(due.state)
        if fault:
            groups.setdefault((due.check.id, due.unit.in_use, fault), []).append(due)
    for (_, in_use, fault), group in groups.items():
        check, lines = group[0].check, tuple(_line(late) for late in group)
        figures = [ledger.get(family(unit=late.unit.id, check=check.id)) for late in group for family in DAYS]
        named = short_list([_named(ledger, late, fault) for late in group])
        count = f"{count_in_words(len(group), 'unit')} {'in use' if in_use else 'spare'}"
        yield check_overdue.found(
            severity=Severity.STOP if in_use else Severity.WARN,
            message=f"{check.name} of {count} {fault}: {named}.",
            where=lines[0],
            figures=keys(*figures),
            source=check.source.value,
            mend="do the check and enter its day, or take the unit out of use",
            touches=tuple(f"unit:{late.unit.id}" for late in group),
            lines=lines if len(group) > 1 else (),
        )


def _line(late: DueCheck) -> Where:
    """The day in the inventory, or the unit where there is none."""
    last = late.unit.last.get(late.check.id)
    return last.where if last else late.unit.where


def _named(ledger: Ledger, late: DueCheck, fault: str) -> str:
    """A unit with its day, and how often that check is asked of it."""
    last, asked = late.unit.last.get(late.check.id), late.check.strictest_of(late.unit)
    day = f"by {ledger[late.key].printed}" if late.state is State.OVERDUE else ""
    every = f"every {(asked or late.check).interval.value.text}"
    parts = (last.text if last and fault == AHEAD else day, every)
    return f"{late.unit.id} ({', '.join(part for part in parts if part)})"


@rule(Severity.NOTE, about="page:checks")
def part_without_check(program: Program) -> Iterator[Finding]:
    """A part that wears, as a model of units in use states, which no check of the plan looks after.

    Source: the model's own statement of how long the part lasts.
    """
    # A note for each part, once for all models
    looked_after = {check.part.value for check in program.checks.values() if check.part}
    used = {unit.model.value for unit in program.units.values() if unit.checked}
    wearing = [model for model in program.models.values() if model.id in used]
    for part in dict.fromkeys(part for model in wearing for part in model.parts if part not in looked_after):
        models = [model for model in wearing if part in model.parts]
        stated = models[0].parts[part]
        yield part_without_check.found(
            message=f"No check of the plan asks for the {part.replace('-', ' ')}, which lasts {stated.text} in "
            f"{short_list([model.name for model in models])}, so nothing tells when it is due.",
            where=stated.where,
            source=models[0].manual.value,
            mend=f"add a check of kind replacement, or inspection, with part: {part}",
            touches=tuple(f"model:{model.id}" for model in models),
        )


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
                figures=keys(ledger.get(keyed.CHECK_INTERVAL(check=check.id))),
                mend=f"ask for it at least once in {usual}, and as often as the manual says",
                subject="page:checks",
            )
    for station in program.stations.values():
        every = station.leak_test.every
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


@rule(Severity.NOTE, many=True, source="gas time of the site's own check plan")
def impossible_rhythm(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Checks of three or more units by one person in less time than the gas has to flow.

    A stand that checks several units at once can be the reason. Source: the gas time of the site's own check plan.
    """
    # A note for each run; it points to its first row
    times = _gas_times(program, ledger)
    signed = (row for row in program.records if row.by and row.kind.value in times and row.day <= ledger.today)
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
            mend="ask how it was done; a stand for several units at once explains it",
            subject=subject(program, first),
        )


def _gas_times(program: Program, ledger: Ledger) -> dict[str, Figure]:
    made: dict[str, Figure] = {}
    for check in program.checks.values():
        figure = ledger.get(keyed.CHECK_GAS_TIME(check=check.id)) if check.uses_gas else None
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


@rule(Severity.WARN, acceptable=True, about="page:program")
def retest_seldom(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Air that is tested again less often than every hour while people are inside or a flame burns.

    Source: open flame in a utility space: just before and at least hourly, 29 CFR 1910.269 (e)(14); for entry the
    rule names no number, 29 CFR 1910.146 (d)(5)(ii), and an hour is common practice, no published source.
    """
    # A warn for entry and for hot work
    site = program.site
    for what, values, key in (
        ("While people are inside", site.entry, keyed.ENTRY_RETEST()),
        ("At hot work", site.hot_work, keyed.HOT_WORK_RETEST()),
    ):
        if values is None or magnitude(values.retest_every.value, "min") <= RETEST_SELDOM_MOST:
            continue
        yield retest_seldom.found(
            message=f"{what} the air is tested again only every {values.retest_every.text}, longer than an hour.",
            where=values.retest_every.where,
            figures=keys(ledger.get(key)),
            source="29 CFR 1910.269 (e)(14), open flame: at least hourly; else common practice",
            mend="test again at least every hour, and after each break, or leave a running detector at the work",
        )
