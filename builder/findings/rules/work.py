"""Values by which people go in or light a flame, and how soon help comes."""

from collections.abc import Iterator, Mapping
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.quantity import Quantity, magnitude, same_dimension
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.figures.topics.areas import limit_key
from builder.findings.rule import rule
from builder.findings.wording import channel_words, keys, short_list
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.keys.family import Family
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN
from builder.program.work_values import Span
from builder.reference.rules import ENTER


@dataclass(frozen=True, slots=True)
class _Late:
    """A value that is no stricter than what stands beside it in an area."""

    value: Figure
    bound: Figure
    where: Where
    told: str
    area: Area


@rule(Severity.STOP, Severity.WARN, about="page:program", source="DGUV Regel 113-004, February 2019, 4.4.1.1")
def work_value_late(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A value at which people go in or hot work starts that is as lax as the alarms, or a value beyond its rule.

    An alarm tells when to get out; who goes in at the alarm goes in to turn back. Where people go in although more
    oxygen is gone than a cell may lie off, half a percent by volume, nobody asks what took its place. Source: 29 CFR
    1910.146 (f)(9) and appendix B (2), acceptable conditions; the strictest rule of the place; 29 CFR 1910.252
    (a)(2)(iii)(B), fire watch; DGUV Regel 113-004, February 2019, 4.4.1.1, the cause of less than 20.9 %vol is found.
    """
    # A stop for each value, with its areas, and for a watch shorter than its rule; oxygen that is gone warns
    every = tuple(_all(program, ledger))
    least = ledger.get(keyed.ENTRY_FROM(channel=OXYGEN))
    if program.site.entry and least and least.number < UNCAUSED and not any(one.value == least for one in every):
        yield _gone(least, ledger.get(keyed.OXYGEN_DISPLACED()), program.site.entry.start[OXYGEN].where)
    for group in grouped(every, lambda late: (late.value.key, late.told)).values():
        areas = short_list(list(dict.fromkeys(f"{one.area.name} ({one.bound.printed})" for one in group)))
        first = group[0]
        yield _finding(f"{first.told}: {areas}.", first.where, first.value, first.bound, group)
    watch, asked = ledger.get(keyed.HOT_WORK_WATCH()), ledger.get(keyed.HOT_WORK_WATCH_RULE())
    hot = program.site.hot_work
    if watch and asked and watch.amount < asked.amount and hot and hot.watch:
        yield _finding(
            f"The fire watch of {watch.printed} is shorter than {asked.printed}.", hot.watch.where, watch, asked, []
        )


def _gone(least: Figure, other: Figure | None, where: Where) -> Finding:
    shown = f", where {other.printed} of another gas can be there for each percent that is gone" if other else ""
    return work_value_late.found(
        severity=Severity.WARN,
        message=f"People go in at {least.printed} of oxygen{shown}: what took its place is not asked.",
        where=where,
        figures=keys(least, other),
        mend="accept what clean air shows, less what the cell may lie off; below that the cause is found first",
    )


def _all(program: Program, ledger: Ledger) -> Iterator[_Late]:
    site = program.site
    for area in program.areas.values():
        if area.entered:
            yield from _let_in(program, ledger, area)
        if site.entry is not None and area.entered:
            yield from _starts(ledger, area, site.entry.start, (keyed.ENTRY_FROM, keyed.ENTRY_TO), "People go in")
        if site.hot_work is not None and area.hot_work:
            yield from _starts(
                ledger, area, site.hot_work.start, (keyed.HOT_WORK_FROM, keyed.HOT_WORK_TO), "Hot work starts"
            )
            for channel, given in site.hot_work.stop.items():
                yield from _stop(ledger, area, channel, given.where)


def _let_in(program: Program, ledger: Ledger, area: Area) -> Iterator[_Late]:
    """Where people go in at more flammable gas than a rule for the reading before entry allows."""
    bound, entry = ledger.get(limit_key(area.id, FLAMMABLE, ENTER)), program.site.entry
    span = entry.start.get(FLAMMABLE) if entry else None
    first = keyed.SETPOINT(area=area.id, channel=FLAMMABLE, alarm="low")
    value = ledger.get(keyed.ENTRY_TO(channel=FLAMMABLE) if span else first)
    if value is not None and bound is not None and value.amount > bound.amount:
        least = "up to" if span else "up to the first alarm,"
        told = f"People go in at {least} {value.printed} of flammable gas, beyond the rule"
        yield _Late(value, bound, span.where if span else area.where, told, area)


def _starts(
    ledger: Ledger, area: Area, spans: Mapping[str, Span], ends: tuple[Family, Family], what: str
) -> Iterator[_Late]:
    for channel, span in spans.items():
        for end, alarm, below in ((ends[0], "low", True), (ends[1], "high" if channel == OXYGEN else "low", False)):
            value = ledger.get(end(channel=channel))
            first = ledger.get(keyed.SETPOINT(area=area.id, channel=channel, alarm=alarm))
            if value is None or first is None or not same_dimension(value.amount, first.unit):
                continue
            if (value.amount <= first.printed_amount) if below else (value.amount >= first.printed_amount):
                told = f"{what} at {value.printed} of {channel_words(channel)}, where the alarm already sounds"
                yield _Late(value, first, span.where, told, area)


def _stop(ledger: Ledger, area: Area, channel: str, where: Where) -> Iterator[_Late]:
    value = ledger.get(keyed.HOT_WORK_STOP(channel=channel))
    rule_key = keyed.RULE(area=area.id, quantity="oxygen-high" if channel == OXYGEN else channel)
    alarm_key = keyed.SETPOINT(area=area.id, channel=channel, alarm="high")
    for key, beyond in ((rule_key, "beyond the rule"), (alarm_key, "beyond the second alarm")):
        bound = ledger.get(key)
        if value and bound and same_dimension(value.amount, bound.unit) and value.amount > bound.printed_amount:
            yield _Late(
                value, bound, where, f"Hot work stops at {value.printed} of {channel_words(channel)}, {beyond}", area
            )
            return


def _finding(message: str, where: Where, value: Figure, bound: Figure, group: list[_Late]) -> Finding:
    return work_value_late.found(
        severity=Severity.STOP,
        rests_on=(value, bound),
        message=message,
        where=where,
        figures=keys(value, *((late.bound for late in group) if group else (bound,))),
        source=bound.source,
        mend="accept less than alarms and rule allow (entry and hot-work of site.yaml), and watch as long as it asks",
        subject=f"area:{group[0].area.id}" if group else "page:program",
        touches=tuple(f"area:{late.area.id}" for late in group),
    )


UNCAUSED = Fraction("20.4")
"""%vol: what clean air holds, less half a percent."""
MOST = Fraction(15)
"""Minutes."""


@rule(Severity.WARN, source="29 CFR 1910.146, appendix F, A.II (1), advice")
def help_late(program: Program, ledger: Ledger, area: Area) -> Iterator[Finding]:
    """Help for who is inside a confined space that is called, or comes, later than a quarter of an hour.

    Source: 29 CFR 1910.146, appendix F, A.II (1), advice: where air can quickly become dangerous to life the
    rescuers stand by at the space; ten to fifteen minutes may do where only machines can hurt.
    """
    # A warn for each area that is entered, and one more for each model carried there that calls help
    if not area.entered:
        return
    yield from _late(ledger, area, "help is called only", area.rescue_within, keyed.AREA_RESCUE_WITHIN(area=area.id))
    for model in program.models_in(area):
        if model.relay is not None:
            told = f"help that {model.name} calls comes only"
            yield from _late(ledger, area, told, model.relay.help_within, keyed.MODEL_RELAY_HELP(model=model.id))


def _late(ledger: Ledger, area: Area, told: str, given: Given[Quantity] | None, key: str) -> Iterator[Finding]:
    if given is None or magnitude(given.value, "min") <= MOST:
        return
    yield help_late.found(
        message=f"{area.name}: {told} within {given.text}. In bad air that may be too late.",
        where=given.where,
        figures=keys(ledger.get(key)),
        mend="have rescuers stand by at the space while somebody is inside",
    )
