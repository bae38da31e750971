"""An area on one opening: what to take and to expect on its left page, what to do when it sounds on its right one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from builder.base.finding import Severity
from builder.pages.blocks import Absent, Block, Heading, Inlines, Page, Strong
from builder.pages.handbook.areas import carried
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import ACTIVITIES, RISKS, ROLES, small, word
from builder.pages.handbook.parts import facts, head, inlines, listed, page, para, points, table
from builder.pages.handbook.sections import path_of
from builder.pages.handbook.seen import seen_in_short
from builder.program.areas import Area
from builder.program.carry import CarriedSet
from builder.program.keys.families import (
    AREA_DEPTH,
    AREA_HOSE,
    AREA_LOWEST_OXYGEN,
    AREA_TEMPERATURE,
    HOSE_WAIT,
    LEVELS_COUNT,
    LEVELS_TOTAL_TIME,
    SENSOR_MINIMUM_OXYGEN,
    SETPOINT,
)
from builder.program.sensors import OXYGEN
from builder.program.test_order import in_test_order

SOUNDS = "it-sounds"
"""Anchor of the heading that begins the right page."""


def opening_pages(book: HandbookContext) -> Iterator[Page]:
    """One page, set on two, for every area, and a list of them all that comes before."""
    areas = book.program.areas.values()
    rows = (
        (
            (book.link("area", area.id),),
            inlines(_activities(area)),
            listed((carried(book, one) for one in area.carry), mark="; or "),
        )
        for area in areas
    )
    yield page(
        id="overview:areas",
        path=path_of("page:areas"),
        title="Work areas",
        section="areas",
        lead=inlines("Each area has an opening of its own: read it before going in."),
        blocks=(table(("Area", "Work done there", "Carry"), rows, empty="no area is listed"),),
    )
    for area in areas:
        yield _opening(book, area)


def _opening(book: HandbookContext, area: Area) -> Page:
    return page(
        id=f"opening:{area.id}",
        path=path_of(f"area:{area.id}"),
        title=area.name,
        section="areas",
        lead=inlines(_activities(area)),
        blocks=(
            *book.found(f"area:{area.id}", (Severity.STOP,)),
            *_carry(book, area),
            *_hazards(book, area),
            *_order(book, area),
            *_waits(book, area),
            *_unseen(book, area),
            *_alarms(book, area),
            *_call(book),
            *_cards(book, area),
        ),
    )


def _activities(area: Area) -> str:
    return ", ".join(word(ACTIVITIES, given.value) for given in area.activities)


# ---- before going in ----------------------------------------------------------------


def _carry(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    lines = (
        inlines(
            Strong(carried(book, one)),
            ": ",
            listed((inlines(small(book.channel_name(name))) for name in _channels(book, one)), mark=", "),
        )
        for one in area.carry
    )
    several = "Carry one of these" if len(area.carry) > 1 else "Carry"
    return (head(several), *points(lines), *((para(area.note),) if area.note else ()))


def _channels(book: HandbookContext, one: CarriedSet) -> tuple[str, ...]:
    """What the detectors of a set measure together, in the order air is tested."""
    models = (book.program.models[given.value] for given in one.models)
    return in_test_order(sensor.channel.value for model in models for _, sensor in book.program.fitted(model))


def _hazards(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    rows = (
        (
            (book.link("gas", hazard.gas.value), *(inlines(f": {word(RISKS, hazard.risk)}") if hazard.risk else ())),
            inlines(hazard.why.value),
        )
        for hazard in area.hazards
    )
    return (
        head("What can be in the air"),
        table(("Gas", "Why"), rows, empty="no hazard is listed"),
        facts(
            ("Oxygen can fall to", book.maybe(AREA_LOWEST_OXYGEN(area=area.id))),
            ("Temperature", book.maybe(AREA_TEMPERATURE(area=area.id))),
        ),
        *seen_in_short(book, area),
    )


def _order(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    rows: list[tuple[Inlines, ...]] = []
    for channel in book.program.channels_in(area):
        stay_out = _stay_out(book, area, channel)
        if stay_out:
            rows.append((inlines(f"{len(rows) + 1}. {book.channel_name(channel)}"), stay_out))
    return (head("Test in this order"), table(("Test", "Stay out"), rows, empty="no alarm is set")) if rows else ()


def _stay_out(book: HandbookContext, area: Area, channel: str) -> Inlines:
    """The reading at which nobody goes in: oxygen on either side, anything else at its first alarm."""
    entry = book.program.setpoint(area.id, channel)
    if entry is None or not entry.alarms:
        return ()

    def set_to(alarm: str) -> Inlines:
        return book.fig(SETPOINT(area=area.id, channel=channel, alarm=alarm))

    if channel == OXYGEN:
        sides = (("below ", "low"), ("above ", "high"))
        return listed((inlines(words, *set_to(alarm)) for words, alarm in sides if alarm in entry.alarms), mark=" or ")
    return inlines("from ", *set_to(next(iter(entry.alarms))))


def _waits(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    lines = facts(
        *(
            (f"Wait, {book.names[f'model:{model.id}']}", book.maybe(HOSE_WAIT(area=area.id, model=model.id)))
            for model in book.program.models_in(area)
        ),
        ("Depth", book.maybe(AREA_DEPTH(area=area.id))),
        ("Hose", book.maybe(AREA_HOSE(area=area.id))),
        ("Levels to test, from above", book.maybe(LEVELS_COUNT(area=area.id))),
        ("All levels take at least", book.maybe(LEVELS_TOTAL_TIME(area=area.id))),
    )
    return (head("Through the hose, at every level"), lines) if lines.rows else ()


def _unseen(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    lines = [*_blind_sets(book, area)]
    fitted = (pair for model in book.program.models_in(area) for pair in book.program.fitted(model))
    for sensor in {sensor.id: sensor for _, sensor in fitted}.values():
        if sensor.blind_to:
            lines.append(inlines(f"{sensor.name}: blind to ", *_gases(book, (g.value for g in sensor.blind_to)), "."))
        least = book.maybe(SENSOR_MINIMUM_OXYGEN(sensor=sensor.id))
        if least:
            lines.append(inlines(f"{sensor.name}: reads low or nothing below ", *least, " of oxygen."))
    return (head("The display does not see"), *points((*lines, inlines("Any gas that is not on this page."))))


def _blind_sets(book: HandbookContext, area: Area) -> Iterator[Inlines]:
    """Of each set that is carried together, the gases of this area that none of its sensors sees."""
    for one in area.carry:
        models = [book.program.models[given.value] for given in one.models]
        sensors = [sensor for model in models for _, sensor in book.program.fitted(model)]
        unseen = [h.gas.value for h in area.hazards if not any(sensor.sees(h.gas.value) for sensor in sensors)]
        if unseen:
            names = listed((inlines(model.name) for model in models), mark=" and ")
            yield (Strong(inlines(*names, ": no sensor for ", *_gases(book, unseen), ".")),)


def _gases(book: HandbookContext, names: Iterable[str]) -> Inlines:
    return listed((inlines(small(book.names[f"gas:{name}"])) for name in names), mark=", ")


# ---- when it sounds -----------------------------------------------------------------


def _alarms(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    rows: list[tuple[Inlines, ...]] = []
    for channel in book.program.channels_in(area):
        entry = book.program.setpoint(area.id, channel)
        if entry is None:
            rows.append((inlines(book.channel_name(channel)), (Absent("no setpoint is given"),), inlines("")))
            continue
        rows += [
            (
                inlines(f"{book.channel_name(channel)}: {small(book.alarm_name(channel, alarm))}"),
                book.fig(SETPOINT(area=area.id, channel=channel, alarm=alarm)),
                (Strong(inlines(entry.alarms[alarm].action.value)),),
            )
            for alarm in entry.alarms
        ]
    return (
        Heading(2, inlines(f"It sounds: {area.name}"), SOUNDS),
        table(("Alarm", "Set to", "Do this"), rows, numeric=(1,), kind="alarms", empty="no alarm is set"),
        para("A reading above the range, or one that climbs and falls back, is never good news: leave."),
    )


def _call(book: HandbookContext) -> tuple[Block, ...]:
    calls = call_rows(book)
    return (head("Call"), table(("Number", "Who", "For"), calls, kind="calls")) if calls else ()


def call_rows(book: HandbookContext) -> tuple[tuple[Inlines, ...], ...]:
    """Whom to call: the number first, since it is what is looked for."""
    return tuple(
        (
            (Strong(inlines(contact.call.value)), *inlines(contact.besides)),
            inlines(contact.name.value),
            inlines(contact.role.value),
        )
        for contact in book.program.site.contacts
    )


def _cards(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    cards = [card for card in book.program.cards.values() if card.area and card.area.value == area.id]
    lines = (inlines(f"{card.title}, for the {word(ROLES, card.audience)}") for card in cards)
    return (head("Pocket cards of this area"), *points(lines)) if cards else ()
