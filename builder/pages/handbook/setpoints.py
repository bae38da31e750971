"""Alarm setpoints: the matrix of areas and channels, then every entry with its reason."""

from collections.abc import Iterator

from builder.base.grouping import grouped
from builder.figures.figure import NO_BREAK_SPACE, day_text
from builder.pages.blocks import Absent, Block, Inlines
from builder.pages.compositions import Page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext, index_page
from builder.pages.handbook.labels import NO_RULE, alarm_word
from builder.pages.handbook.parts import Row, assumes, facts, head, inlines, listed, para, subhead, table, to
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.records import Record
from builder.program.setpoints import Alarm, Setpoint
from builder.program.test_order import in_test_order
from builder.reference.limits import KINDS_BY_ID

CHANGE = "setting-change"
LATEST = 40
"""Changes that are listed; the page of each unit has its own."""


def settings_kept(book: HandbookContext) -> Iterator[Block]:
    """All of it, in the order in which an auditor asks."""
    yield head("Who may change settings", "who-may-change")
    access = book.program.settings_access
    yield para(fixed("setpoints.access") if access else fixed("setpoints.no-access"))
    yield facts(
        ("May change them", _who(book)),
        ("The code is with", access.kept_by.value if access else None),
        ("How it is kept", access.how.value if access else None),
        ("It was changed on", book.maybe(keyed.SETTINGS_CODE_CHANGED())),
        ("and stays until", book.maybe(keyed.SETTINGS_CODE_DUE())),
    )
    if book.program.wanted_settings:
        yield table(("Models", "Setting", "To be"), _wanted(book), caption="Settings beside the alarms")
    rows = [record for record in book.program.records if record.kind.value == CHANGE]
    if rows:
        latest = sorted(rows, key=lambda record: record.day, reverse=True)[:LATEST]
        heads = ("Day", "Unit", "Setting", "Since then", "Order", "By")
        yield table(heads, (_changed(book, record) for record in latest), caption="Changes on record, newest first")


def _who(book: HandbookContext) -> Inlines:
    people, today = book.program.people, book.ledger.today
    if people is None:
        return inlines("no register of people is kept here")
    may = [
        inlines(book.person(person))
        for person in people.values()
        if any(kind.value == CHANGE for kind in person.kinds) and person.start.value <= today <= person.until.value
    ]
    return listed(may) if may else inlines("nobody today")


def _wanted(book: HandbookContext) -> Iterator[Row]:
    for entry in book.program.wanted_settings:
        models = listed(book.links("model", entry.models)) if entry.models else None
        for name, value in entry.values.items():
            told = f"right to {value.text}" if name == "clock" else value.text
            yield models or "all others", name.replace("-", " "), told


def _changed(book: HandbookContext, record: Record) -> Row:
    sensor = f" of {book.names[f'sensor:{record.sensor.value}']}" if record.sensor else ""
    unit = record.unit.value
    who = book.program.people.get(record.by.value) if record.by and book.program.people else None
    return (
        day_text(record.day),
        book.link("unit", unit) if unit in book.program.units else unit,
        f"{record.setting.value.replace('-', ' ') if record.setting else ''}{sensor}",
        record.value.value if record.value else "",
        record.order.value if record.order else "no order is named",
        book.person(who) if who else "nobody listed" if record.by is None else record.by.value,
    )


def setpoint_pages(book: HandbookContext) -> Iterator[Page]:
    """The one page of setpoints."""
    channels = _channels(book)
    blocks: list[Block] = [*book.found("page:setpoints"), _matrix(book, channels)]
    blocks.append(assumes(fixed("setpoints.rounded")))
    if keyed.SITE_LONG_SHIFT_FACTOR() in book.ledger:
        blocks.append(
            assumes(fixed("setpoints.long-turns", shift=book.fig(keyed.SITE_SHIFT()), gases=to("page:gases", "gas")))
        )
    for channel in channels:
        blocks.append(head(book.channel_name(channel), f"channel-{channel}"))
        for entry in book.program.setpoints:
            if entry.channel.value == channel:
                blocks += _entry(book, entry)
    blocks += settings_kept(book)
    due = book.maybe(keyed.SETPOINTS_REVIEW_DUE())
    if due:
        blocks.append(para("Reviewed ", *book.fig(keyed.SETPOINTS_REVIEWED()), "; next review due by ", *due, "."))
    yield index_page("setpoints", fixed("setpoints.lead"), blocks)


def _channels(book: HandbookContext) -> tuple[str, ...]:
    found = {entry.channel.value for entry in book.program.setpoints}
    for area in book.program.areas.values():
        found |= set(book.program.channels_in(area))
    return in_test_order(found)


def _matrix(book: HandbookContext, channels: tuple[str, ...]) -> Block:
    rows: Iterator[Row] = (
        (book.link("area", area.id), *(_cell(book, area, channel) for channel in channels))
        for area in book.program.areas.values()
    )
    names = tuple(book.channel_name(channel) for channel in channels)
    return table(("Area", *names), rows, caption="All areas and channels", kind="matrix")


def _cell(book: HandbookContext, area: Area, channel: str) -> Inlines:
    if channel not in book.program.channels_in(area):
        return inlines("not measured")
    entry = book.program.setpoint(area.id, channel)
    if entry is None:
        return (Absent("no setpoint is given"),)
    shown = (
        (alarm_word(alarm, channel=channel), book.fig(keyed.SETPOINT(area=area.id, channel=channel, alarm=alarm)))
        for alarm in entry.alarms
    )
    return listed((inlines(_before_its_number(word), *figure) for word, figure in shown), mark=", ")


def _before_its_number(words: str) -> str:
    """An alarm's name on a line of its own where a screen is narrow, or beside the number if it is one word."""
    return f"{words.replace(' ', NO_BREAK_SPACE)} " if " " in words else f"{words}{NO_BREAK_SPACE}"


# ---- entries ----------------------------------------------------------------------------


def _entry(book: HandbookContext, entry: Setpoint) -> tuple[Block, ...]:
    channel = entry.channel.value
    governed = book.program.areas_of(entry)
    measured = [area for area in governed if channel in book.program.channels_in(area)]
    rows = (_row(book, entry, alarm, measured) for alarm in entry.alarms.values())
    areas = listed(book.links("area", (area.id for area in measured)), "no area")
    return (
        subhead(*(inlines("Every other area: ", *areas) if entry.areas is None else areas)),
        para(entry.reason.value),
        table(("Alarm", "Set to", "Protects", "What to do"), rows),
    )


def _row(book: HandbookContext, entry: Setpoint, alarm: Alarm, areas: list[Area]) -> Row:
    channel = entry.channel.value
    keys = [keyed.SETPOINT(area=area.id, channel=channel, alarm=alarm.name) for area in areas]
    return (
        book.alarm_name(channel, alarm.name),
        _same(book, areas, keys),
        _protected(book, entry, alarm, areas, keys),
        alarm.action.value,
    )


def _same(book: HandbookContext, areas: list[Area], keys: list[str], absent: str = "") -> Inlines:
    """Each value once: alone where every area prints the same, else with its areas; areas without one come last.

    :param absent: why an area can have no value; empty for a value that the library does not have.
    """
    pairs = zip(areas, keys, strict=True)
    groups = grouped(pairs, lambda pair: figure.printed if (figure := book.ledger.get(pair[1])) else "")
    if len(groups) <= 1:
        return book.fig(keys[0], absent=absent) if keys else (Absent("no area measures it"),)
    without = groups.pop("", [])
    parts = [
        inlines(*book.fig(group[0][1]), " (", *listed(inlines(area.name) for area, _ in group), ")")
        for group in groups.values()
    ]
    if without:
        where = "the other area above" if len(without) == 1 else "the other areas above"
        parts.append(inlines(f"{where}: ", *book.fig(without[0][1], absent=absent)))
    return listed(parts)


def _protected(book: HandbookContext, entry: Setpoint, alarm: Alarm, areas: list[Area], keys: list[str]) -> Inlines:
    if alarm.protects is None:
        name = {"oxygen": f"oxygen-{alarm.name}"}.get(entry.channel.value, entry.channel.value)
        limits = [keyed.RULE(area=area.id, quantity=name) for area in areas]
        found = _same(book, areas, limits, NO_RULE)
        return found if isinstance(found[0], Absent) else inlines("the strictest rule: ", found)
    listed_in, _, kind = alarm.protects.value.partition(".")
    words = f"{book.program.library.limit_list(listed_in).name}, {KINDS_BY_ID[kind].name}: "
    gas = (book.link("gas", alarm.protects_gas.value), *inlines(", ")) if alarm.protects_gas else ()
    return inlines(gas, words, *_same(book, areas, [keyed.SETPOINT_PROTECTS.on(key) for key in keys]))
