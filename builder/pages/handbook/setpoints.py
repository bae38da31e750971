"""Alarm setpoints: the matrix of areas and channels, then every entry with its reason."""

from __future__ import annotations

from collections.abc import Iterator

from builder.figures.figure import NO_BREAK_SPACE
from builder.pages.blocks import Absent, Block, Inlines, Page
from builder.pages.handbook.book import Book
from builder.pages.handbook.parts import assumes, head, listed, page, para, said, subhead, table
from builder.pages.handbook.sections import path_of
from builder.pages.handbook.words import LIMIT_KINDS, LISTS, SHORT_ALARMS, word
from builder.program.areas import Area
from builder.program.program import in_test_order
from builder.program.setpoints import Alarm, Setpoint


def setpoint_pages(book: Book) -> Iterator[Page]:
    """The one page of setpoints."""
    channels = _channels(book)
    blocks: list[Block] = [*book.found("page:setpoints"), _matrix(book, channels)]
    blocks.append(
        assumes("The value is what the instrument is set to. It is rounded toward safety to what the detectors allowed "
                "in the area can be set to; the derivation of each value shows the exact one.")
    )  # fmt: skip
    for channel in channels:
        blocks.append(head(book.channel_name(channel), f"channel-{channel}"))
        for entry in book.program.setpoints:
            if entry.channel.value == channel:
                blocks += _entry(book, entry)
    due = book.maybe("setpoints.review-due")
    if due:
        blocks.append(para("Reviewed ", *book.fig("setpoints.reviewed"), "; next review due by ", *due, "."))
    yield page(
        id="page:setpoints",
        path=path_of("page:setpoints"),
        title="Alarm setpoints",
        section="setpoints",
        lead=said("What every channel is set to in every area, why, and what to do when it sounds."),
        blocks=blocks,
    )


def _channels(book: Book) -> tuple[str, ...]:
    found = {entry.channel.value for entry in book.program.setpoints}
    for area in book.program.areas.values():
        found |= set(book.program.channels_in(area))
    return in_test_order(found)


def _matrix(book: Book, channels: tuple[str, ...]) -> Block:
    rows = (
        ((book.link("area", area.id),), *(_cell(book, area, channel) for channel in channels))
        for area in book.program.areas.values()
    )
    names = tuple(book.channel_name(channel) for channel in channels)
    return table(("Area", *names), rows, caption="All areas and channels", kind="matrix")


def _cell(book: Book, area: Area, channel: str) -> Inlines:
    if channel not in book.program.channels_in(area):
        return said("not measured")
    entry = book.program.setpoint(area.id, channel)
    if entry is None:
        return (Absent("no setpoint is given"),)
    return listed(
        (
            said(f"{word(SHORT_ALARMS, alarm)}{NO_BREAK_SPACE}", *book.fig(f"setpoint.{area.id}.{channel}.{alarm}"))
            for alarm in entry.alarms
        ),
        mark=", ",
    )


# ---- entries ----------------------------------------------------------------------------


def _entry(book: Book, entry: Setpoint) -> tuple[Block, ...]:
    channel = entry.channel.value
    governed = book.program.areas_of(entry)
    measured = [area for area in governed if channel in book.program.channels_in(area)]
    rows = (_row(book, entry, alarm, measured) for alarm in entry.alarms.values())
    areas = listed(book.links("area", (area.id for area in measured)), "no area")
    return (
        subhead(*(said("Every other area: ", *areas) if entry.areas is None else areas)),
        para(entry.reason.value),
        table(("Alarm", "Set to", "Protects", "What to do"), rows),
    )


def _row(book: Book, entry: Setpoint, alarm: Alarm, areas: list[Area]) -> tuple[Inlines, ...]:
    channel = entry.channel.value
    keys = [f"setpoint.{area.id}.{channel}.{alarm.name}" for area in areas]
    return (
        said(book.alarm_name(channel, alarm.name)),
        _same(book, areas, keys),
        _protected(book, entry, alarm, areas, keys),
        said(alarm.action.value),
    )


def _same(book: Book, areas: list[Area], keys: list[str]) -> Inlines:
    """One figure where every area prints the same, else one an area."""
    found = {figure.printed if (figure := book.ledger.get(key)) else "" for key in keys}
    if len(found) <= 1:
        return book.fig(keys[0]) if keys else (Absent("no area measures it"),)
    return listed(said(f"{area.name} ", *book.fig(key)) for area, key in zip(areas, keys, strict=True))


def _protected(book: Book, entry: Setpoint, alarm: Alarm, areas: list[Area], keys: list[str]) -> Inlines:
    if alarm.protects is None:
        name = {"oxygen": f"oxygen-{alarm.name}"}.get(entry.channel.value, entry.channel.value)
        return said("the strictest rule: ", *_same(book, areas, [f"limit.{area.id}.{name}" for area in areas]))
    listed_in, _, kind = alarm.protects.value.partition(".")
    words = f"{word(LISTS, listed_in)}, {word(LIMIT_KINDS, kind)}: "
    gas = (book.link("gas", alarm.protects_gas.value), *said(", ")) if alarm.protects_gas else ()
    return said(gas, words, *_same(book, areas, [f"{key}.protects" for key in keys]))
