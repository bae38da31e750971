"""Windows by which a check passes."""

from collections.abc import Container, Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger, figures_there
from builder.figures.logbook.book import Logbook
from builder.figures.logbook.units import Entry
from builder.figures.logbook.verdicts import ZERO, window_for
from builder.findings.record_findings import entries, severity_of
from builder.findings.rule import rule
from builder.findings.wording import keys, short_list
from builder.program.checks import Check
from builder.program.keys import families as keyed
from builder.program.program import Program
from builder.program.records import Record


@rule(Severity.WARN, about="page:checks")
def window_missing(program: Program, check: Check) -> Iterator[Finding]:
    """A check with gas that says for some sensors which reading passes, and for others of units in use nothing.

    Source: common practice, no published source; what passes without a window, passes with any reading.
    """
    # A warn for each check, with all the sensors
    lacking = _of_units_in_use(program, check, check.window)
    if check.uses_gas and check.window and lacking:
        yield window_missing.found(
            message=f"{check.name} states no window for: {short_list(list(lacking))}. Any reading of them passes.",
            where=check.where,
            mend="state how far their reading may lie off what the gas must show",
        )


@rule(Severity.WARN, about="page:checks")
def zero_without_bounds(program: Program, check: Check) -> Iterator[Finding]:
    """A zero that does not say for a sensor of units in use what it shows in clean air and from where it is refused.

    Whatever gas is there is then zeroed away unseen. Source: common practice, no published source.
    """
    # A warn for each check of zero, with all the sensors
    lacking = _of_units_in_use(program, check, check.clean_air) if check.kind == "zero" else {}
    if lacking:
        yield zero_without_bounds.found(
            message=f"{check.name} states no clean-air value and no bound for: {short_list(list(lacking))}. "
            "Gas that is there is zeroed away, and the alarm comes later by as much.",
            where=check.where,
            mend="enter under clean-air what it shows, what is left alone, and beyond what nobody zeroes it",
        )


def _of_units_in_use(program: Program, check: Check, said: Container[str]) -> dict[str, None]:
    """Names of sensors in units in use that a check is asked of, of whose channel it says nothing."""
    units = (unit for unit in program.units.values() if unit.in_use)
    models = dict.fromkeys(unit.model.value for unit in units if check.asked_of(unit))
    fitted = (sensor for model in models for _, sensor in program.fitted(program.models[model]))
    return dict.fromkeys(sensor.name for sensor in fitted if sensor.channel.value not in said)


MOST = {"bump-test": Fraction(1, 2), "calibration-check": Fraction(1, 5), "calibration": Fraction(1, 5)}
"""Share of the expected display, by kind of check."""
OXYGEN_MOST = Fraction(3, 2)
"""%vol, whatever the gas holds: a sensor that is further off stays silent in air well below the alarm."""
PPM_ALWAYS = Fraction(2)
"""ppm that may always be allowed: 30 CFR 250.490 (j)(6)(ii), 2 ppm or 10 %, whichever is greater."""


@rule(Severity.STOP, acceptable=True, about="page:checks")
def window_too_wide(program: Program, ledger: Ledger, check: Check) -> Iterator[Finding]:
    """A window that passes readings far from what the gas must show.

    A bump test that asks for a reading within half of what the gas holds, and a calibration within a fifth, are
    already wide. Source: common practice, no published source; 30 CFR 250.490 (j)(6)(ii) asks for 10 % or 2 ppm.
    """
    # A stop for each check and sensor, once for all its cylinders
    for sensor in program.sensors.values():
        wide: list[tuple[str, Figure, Figure]] = []
        for cylinder in program.cylinders:
            part = {"cylinder": cylinder, "sensor": sensor.id, "check": check.id}
            shown, off = ledger.get(keyed.WINDOW_EXPECTED(**part)), ledger.get(keyed.WINDOW_TOLERANCE(**part))
            if shown is not None and off is not None and _wide(check, shown, off):
                wide.append((cylinder, shown, off))
        if wide:
            _, expected, tolerance = wide[0]
            part = {"cylinder": wide[0][0], "sensor": sensor.id, "check": check.id}
            ends = list(figures_there(ledger, (keyed.WINDOW_FROM(**part), keyed.WINDOW_TO(**part))))
            between = " to ".join(figure.printed for figure in ends)
            said = check.window.get(sensor.channel.value)
            yield window_too_wide.found(
                message=f"{check.name} of {sensor.name} passes anything from {between}, where the gas must show "
                f"{expected.printed} (bottle {short_list([one for one, _, _ in wide])}). A sensor that has lost "
                "much of its signal passes.",
                where=said.where if said else check.where,
                figures=keys(expected, tolerance, *ends),
                mend="narrow the tolerance to what the manual allows",
            )


def _wide(check: Check, expected: Figure, tolerance: Figure) -> bool:
    most = MOST.get(check.kind)
    if most is None:
        return False
    oxygen = expected.unit == "%vol" and tolerance.unit == "%vol"
    usual = OXYGEN_MOST if oxygen else most * expected.number
    return tolerance.number > (max(usual, PPM_ALWAYS) if tolerance.unit == "ppm" else usual)


@rule(Severity.STOP, Severity.WARN, many=True, source="acceptance of the site's own check plan")
def record_pass_outside_window(program: Program, ledger: Ledger, logbook: Logbook) -> Iterator[Finding]:
    """A record marked pass whose reading lies outside the window of that day's cylinder, or whose alarm came too late.

    Judged by the reading as found; a calibration that says what it left, by that; a zero by what it leaves, and by
    what is too far off in clean air to be zeroed. A reading that fails only by a guard band that nobody read in its
    source warns, and so does one after which a good check followed. Source: the acceptance the site's own check plan
    states.
    """
    for record, verdict in entries(logbook):
        if verdict.outside and record.result is not None and record.result.value == "pass":
            figures = _figures(program, ledger, logbook, (record, verdict))
            caveat = " This only warns: it fails by a guard band that was not read in its source."
            told = f"marked pass, but {_outside(record, verdict.outside, figures)}."
            yield record_pass_outside_window.of_row(
                program,
                record,
                told if verdict.sure else told + caveat,
                severity=severity_of(program, logbook, record) if verdict.sure else Severity.WARN,
                figures=keys(*figures),
                mend="treat it as failed: adjust, check again, and look back at what was measured since the last good "
                "check",
            )


def _figures(program: Program, ledger: Ledger, book: Logbook, entry: Entry) -> tuple[Figure, ...]:
    record, verdict = entry
    if verdict.outside == "seconds":
        checks = [check.id for check in program.checks.values() if check.kind == record.kind.value]
        found = figures_there(ledger, (keyed.CHECK_ALARMS_WITHIN(check=check) for check in checks))
        return (min(found, key=lambda figure: figure.number),)  # by which it was judged
    window = window_for(record, book.windows)
    if window and record.kind.value == ZERO:
        before, after = (keyed.CLEAN_AIR_SHOWS, keyed.CLEAN_AIR_REFUSED), (keyed.CLEAN_AIR_FROM, keyed.CLEAN_AIR_TO)
        return tuple(ledger[edge.on(window.key)] for edge in (before if verdict.outside == "as-found" else after))
    ends = [edge.on(window.key) for edge in (keyed.WINDOW_FROM, keyed.WINDOW_TO)] if window else []
    return tuple(figures_there(ledger, ends))


def _outside(record: Record, name: str, figures: tuple[Figure, ...]) -> str:
    given = {"as-found": record.as_found, "as-left": record.as_left, "seconds": record.seconds}[name]
    value = given.text if given else ""
    if name == "seconds":
        return f"the alarm came after {value} s, allowed are {figures[0].printed}"
    if record.kind.value == ZERO and name == "as-found":
        shows, most = figures
        return f"as found {value} is farther from {shows.printed} than {most.printed}: nobody zeroes that away"
    return f"{name.replace('-', ' ')} {value} lies outside {' to '.join(figure.printed for figure in figures)}"
