"""Work areas: one index, and one page an area that is read before going in."""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Severity
from builder.figures.topics.areas import limit_key
from builder.pages.blocks import Absent, Block, Inlines, Link, Page, Strong
from builder.pages.handbook.air import reach_in
from builder.pages.handbook.charts import charts_of_area
from builder.pages.handbook.corrections import reading_corrections
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.gas_ratios import bumped_through_hose
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import ACTIVITIES, NO_RULE, RISKS, ROLES, RULED, STATES, small, word
from builder.pages.handbook.mixtures import disturbance_blocks, mixtures_in
from builder.pages.handbook.parts import facts, head, inlines, listed, page, para, points, table, to
from builder.pages.handbook.registers import kept_here, many_units
from builder.pages.handbook.sections import path_of
from builder.pages.handbook.seen import seen_by_sets
from builder.pages.handbook.tools import corrector
from builder.program.areas import Area
from builder.program.carry import CarriedSet
from builder.program.keys.families import (
    AREA_DEPTH,
    AREA_HOSE,
    AREA_LOWEST_OXYGEN,
    AREA_TEMPERATURE,
    HOSE_DESCENT_SPEED,
    HOSE_DRAW_TIME,
    HOSE_WAIT,
    LEVELS_COUNT,
    LEVELS_TOTAL_TIME,
    SETPOINT,
)
from builder.program.setpoints import Setpoint
from builder.reference.rules import KINDS, QUANTITIES, place

RULE_KINDS = {"alarm": "an alarm sounds", "act": "something is done", "test": "the air is tested or watched"}


def area_pages(book: HandbookContext) -> Iterator[Page]:
    """The index and a page an area."""
    areas = book.program.areas.values()
    rows = (
        (
            (book.link("area", area.id),),
            inlines(_activities(area)),
            listed(book.links("gas", (hazard.gas.value for hazard in area.hazards))),
            listed((carried(book, one) for one in area.carry), mark="; or "),
        )
        for area in areas
    )
    yield page(
        id="page:areas",
        path=path_of("page:areas"),
        title="Work areas",
        section="areas",
        lead=inlines("Open the page of the area before you go in."),
        blocks=(table(("Area", "Work done there", "Hazards", "Carry"), rows),),
    )
    for area in areas:
        yield _area_page(book, area)


def _area_page(book: HandbookContext, area: Area) -> Page:
    return page(
        id=f"area:{area.id}",
        path=path_of(f"area:{area.id}"),
        title=area.name,
        section="areas",
        lead=fixed("areas.lead"),
        blocks=(
            *book.found(f"area:{area.id}", (Severity.STOP, Severity.WARN)),
            *_before(book, area),
            *_alarms(book, area),
            *_rules(book, area),
            *_truths(book, area),
            *mixtures_in(book, area),
            *disturbance_blocks(book, area),
            *reach_in(book, area),
            *_sampling(book, area),
            *_around(book, area),
            *book.found(f"area:{area.id}", (Severity.NOTE,)),
        ),
    )


def _activities(area: Area) -> str:
    return ", ".join(word(ACTIVITIES, given.value) for given in area.activities)


# ---- before you go in -----------------------------------------------------------


def _before(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    hazards = (
        (
            (book.link("gas", hazard.gas.value), *_risk(hazard.risk)),
            inlines(hazard.why.value),
        )
        for hazard in area.hazards
    )
    return (
        head("Before you go in"),
        facts(
            ("Rules of", inlines(place(area.place.value).name) if area.place else None),
            ("Work done there", inlines(_activities(area))),
            ("Carry", listed((carried(book, one) for one in area.carry), mark="; or ")),
            ("Lowest oxygen to reckon with", book.maybe(AREA_LOWEST_OXYGEN(area=area.id))),
            ("Temperature", book.maybe(AREA_TEMPERATURE(area=area.id))),
            ("Note", inlines(area.note) if area.note else None),
        ),
        table(("Hazard", "Why"), hazards, caption="What can be in the air", empty="no hazard is listed"),
        _detectors(book, area),
        *seen_by_sets(book, area),
    )


def carried(book: HandbookContext, one: CarriedSet) -> Inlines:
    """One set: what is carried together, and for whom where that is not everybody."""
    together = listed(book.links("model", (given.value for given in one.models)), mark=" and ")
    whom = [*(word(ROLES, given.value) for given in one.roles)]
    doing = [*(word(ACTIVITIES, given.value) for given in one.activities)]
    limits = [", ".join(part) for part in (whom, doing) if part]
    several = inlines(", at the same time") if len(one.models) > 1 else ()
    return (*together, *several, *(inlines(f" ({'; '.join(limits)})") if limits else ()))


def _risk(risk: str) -> Inlines:
    return inlines(f": {word(RISKS, risk)}") if risk else ()


def _detectors(book: HandbookContext, area: Area) -> Block:
    rows = (
        (
            (book.link("model", model.id),),
            listed(book.links("sensor", (sensor.id for _, sensor in book.program.fitted(model)))),
            inlines("pumped" if model.pump else "diffusion"),
        )
        for model in book.program.models_in(area)
    )
    return table(("Detector", "Sensors", "Sampling"), rows, caption="Detectors allowed here")


# ---- alarms -----------------------------------------------------------------------


def _alarms(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    rows: list[tuple[Inlines, ...]] = []
    reasons: list[Inlines] = []
    for channel in book.program.channels_in(area):
        entry = book.program.setpoint(area.id, channel)
        if entry is None:
            rows.append((book.channel(channel), (Absent("no setpoint is given"),), inlines("")))
            continue
        rows += [_alarm_row(book, area, entry, alarm) for alarm in entry.alarms]
        reasons.append(inlines(*book.channel(channel), ": ", entry.reason.value))
    return (
        head("Alarms and what to do"),
        para(fixed("areas.order")),
        table(("Alarm", "Set to", "What to do"), rows, caption=f"Alarms in {area.name}", numeric=(1,), kind="alarms"),
        para("Why these values, and the other areas: ", to("page:setpoints", "alarm setpoints"), "."),
        *points(reasons),
    )


def _alarm_row(book: HandbookContext, area: Area, entry: Setpoint, alarm: str) -> tuple[Inlines, ...]:
    channel = entry.channel.value
    return (
        inlines(book.channel(channel), f": {small(book.alarm_name(channel, alarm))}"),
        book.fig(SETPOINT(area=area.id, channel=channel, alarm=alarm)),
        (Strong(inlines(entry.alarms[alarm].action.value)),),
    )


def _rules(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    rows: list[tuple[Inlines, ...]] = []
    for name in QUANTITIES:
        keys = (limit_key(area.id, name, kind) for kind in KINDS)
        found = [book.ledger.figures[key] for key in keys if key in book.ledger.figures]
        for figure in found:
            read = "" if figure.read else "Not read in its own words. "
            asks = RULE_KINDS.get(figure.key.rpartition(".")[2], "stay out")
            remarks = inlines(f"{read}{figure.note}")
            rows.append((inlines(f"{RULED[name]}: {asks}"), book.fig(figure.key), inlines(figure.source), remarks))
        if not found and name in ("oxygen-low", "oxygen-high", "flammable"):
            rows.append((inlines(RULED[name]), (Absent(NO_RULE),), inlines(""), inlines("")))
    return (
        head("The strictest rule that applies"),
        para(fixed("areas.sign")),
        table(("For", "Where", "Rule", "Remarks"), rows, numeric=(1,)),
    )


def _truths(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    corrected = reading_corrections(book, area)
    if corrected is None:
        return ()
    return (
        head("From the display to what is there"),
        *corrector(book, area),
        corrected,
        *charts_of_area(book, area),
    )


# ---- sampling ----------------------------------------------------------------------


def _sampling(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    rows = [
        (
            (book.link("model", model.id),),
            book.fig(HOSE_DRAW_TIME(area=area.id, model=model.id)),
            book.fig(HOSE_WAIT(area=area.id, model=model.id)),
            book.maybe(HOSE_DESCENT_SPEED(area=area.id, model=model.id)) or inlines("tested from outside"),
        )
        for model in book.program.models_in(area)
        if HOSE_WAIT(area=area.id, model=model.id) in book.ledger
    ]
    levels = facts(
        ("Depth", book.maybe(AREA_DEPTH(area=area.id))),
        ("Hose used here", book.maybe(AREA_HOSE(area=area.id))),
        ("Test levels from above", book.maybe(LEVELS_COUNT(area=area.id))),
        ("Time for all levels", book.maybe(LEVELS_TOTAL_TIME(area=area.id))),
    )
    if not rows and not levels.rows:
        return ()
    made: list[Block] = [head("Testing through a hose")]
    made += [levels] if levels.rows else []
    if rows:
        columns = ("Detector", "Gas travels through the hose for", "Wait before reading", "Fastest way down")
        made.append(table(columns, rows, caption="Hose and wait, at each level", numeric=(1, 2, 3)))
        made += [*_clinging(book, area), *bumped_through_hose(book, area)]
    made.append(para(fixed("areas.every-level")))
    return tuple(made)


def _clinging(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    named = [hazard.gas.value for hazard in area.hazards if book.program.gases[hazard.gas.value].clings]
    if not named:
        return ()
    proved = fixed("areas.clinging")
    return (para(Strong(inlines("Clinging to the tube: ", listed(book.links("gas", named)), ". ", proved))),)


# ---- what belongs to it ---------------------------------------------------------------


def _around(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    procedures = book.program.procedures.values()
    own = (p.id for p in procedures if area.id in {given.value for given in p.areas})
    everywhere = (p.id for p in procedures if not p.areas)
    cards = [card for card in book.program.cards.values() if card.area and card.area.value == area.id]
    units = [unit for unit in book.program.units.values() if unit.area and unit.area.value == area.id]
    rows = (
        (
            (book.link("unit", unit.id),),
            (book.link("model", unit.model.value),),
            inlines(word(STATES, unit.state.value)),
        )
        for unit in units
    )
    return (
        head("Procedures"),
        facts(
            ("For this area", listed(book.links("procedure", own))),
            ("For every area", listed(book.links("procedure", everywhere))),
        ),
        head("Pocket cards"),
        *(points(_card(book, card.id, card.audience) for card in cards) or (para("No card is made for this area."),)),
        head("Detectors kept here"),
        kept_here(book, area.id)
        if many_units(book)
        else table(("Detector", "Model", "State"), rows, empty="none is kept here"),
    )


def _card(book: HandbookContext, card: str, audience: str) -> Inlines:
    pdf: Link = to(f"card-pdf:{card}", "print")
    return inlines(book.link("card", card), f", for the {word(ROLES, audience)} (", pdf, ")")
