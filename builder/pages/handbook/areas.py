"""Work areas: one index, and one page an area that is read before going in."""

from collections.abc import Iterator

from builder.base.finding import Severity
from builder.figures.topics.areas import limit_key
from builder.pages.blocks import Absent, Block, Inlines, Link, Strong
from builder.pages.compositions import Page
from builder.pages.handbook import area_brief as brief
from builder.pages.handbook.air import reach_in
from builder.pages.handbook.charts import ladder_of_area
from builder.pages.handbook.corrections import bumped_through_hose, corrector, reading_corrections
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext, index_page
from builder.pages.handbook.labels import NO_RULE, ROLES, RULED, STATES, word
from builder.pages.handbook.mixtures import disturbance_blocks, mixtures_in
from builder.pages.handbook.parts import Row, apart, facts, folded, head, inlines, listed, page, para, points, table, to
from builder.pages.handbook.registers import kept_here, many_units
from builder.pages.handbook.seen import seen_by_sets, sight_matrix
from builder.pages.handbook.work_values import work_values_of
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.reference.rules import KINDS, QUANTITIES, place

RULE_KINDS = {
    "alarm": "an alarm sounds",
    "act": "something is done",
    "test": "the air is tested or watched",
    "enter": "nobody goes in",
}


def area_pages(book: HandbookContext) -> Iterator[Page]:
    """The index and a page an area."""
    areas = book.program.areas.values()
    rows = (
        (
            book.link("area", area.id),
            listed(book.links("gas", (hazard.gas.value for hazard in area.hazards))),
            brief.sets_of(book, area),
        )
        for area in areas
    )
    blocks: tuple[Block, ...] = (
        *brief.plan_of_areas(book, "Open an area by its shape, or in the table below."),
        table(("Area", "Hazards", "Carry"), rows),
    )
    yield index_page("areas", inlines("Open the page of the area before you go in."), blocks)
    for area in areas:
        yield _area_page(book, area)


def _area_page(book: HandbookContext, area: Area) -> Page:
    """What decides first, on as few screens as can be; what stands behind it is folded away."""
    warned = book.found(f"area:{area.id}", (Severity.WARN,))
    return _page_of(area, (*_deciding(book, area), *warned, *folded(_behind(book, area))))


def _page_of(area: Area, blocks: tuple[Block, ...]) -> Page:
    lead = inlines(*brief.activities_in(area), ".")
    return page(f"area:{area.id}", area.name, "areas", lead, blocks)


def worker_page(book: HandbookContext, area: Area) -> Page:
    """The page of an area without what stands behind it, as it is read in other languages."""
    more = para(to(f"area:{area.id}@en", "Reasons, rules and tables behind this page"))
    return _page_of(area, (*_deciding(book, area), more))


def _deciding(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """What a worker has to know, on as few screens as can be."""
    return (
        *book.found(f"area:{area.id}", (Severity.STOP,)),
        facts(
            ("Carry", brief.sets_of(book, area)),
            ("In the air", brief.in_the_air(book, area)),
        ),
        *brief.alarms_and_actions(book, area),
        para(fixed("areas.over-range")),
        *((para(area.note),) if area.note else ()),
        *brief.whom_to_call(book, area),
        *brief.test_order(book, area),
        *brief.waits(book, area),
        *work_values_of(book, area),
        head("How it shows"),
        sight_matrix(book, area),
        *brief.unseen(book, area),
        *_cards(book, area),
    )


def _behind(book: HandbookContext, area: Area) -> Iterator[Block]:
    """Reasons, rules, tables and units."""
    yield from _hazards(book, area)
    yield from seen_by_sets(book, area)
    yield from ladder_of_area(book, area)
    yield from _reasons(book, area)
    yield from _rules(book, area)
    yield from _truths(book, area)
    yield from mixtures_in(book, area)
    yield from disturbance_blocks(book, area)
    yield from reach_in(book, area)
    yield from _sampling(book, area)
    yield from _around(book, area)
    notes = book.found(f"area:{area.id}", (Severity.NOTE,))
    yield from (head("Notes"), *notes) if notes else ()


# ---- what decides -----------------------------------------------------------------


def _cards(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    cards = brief.cards_of(book, area)
    return (head("Pocket cards"), *points(_card(book, card.id, card.audience) for card in cards)) if cards else ()


def _card(book: HandbookContext, card: str, audience: str) -> Inlines:
    pdf: Link = to(f"card-pdf:{card}", "print")
    return inlines(book.link("card", card), ", for the ", apart(word(ROLES, audience)), " (", pdf, ")")


# ---- what stands behind it --------------------------------------------------------


def _hazards(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    return (
        head("Why this can be in the air"),
        table(("Hazard", "Why"), brief.hazard_rows(book, area), empty="no hazard is listed"),
        facts(
            ("Oxygen can fall to", book.maybe(keyed.AREA_LOWEST_OXYGEN(area=area.id))),
            ("Temperature", book.maybe(keyed.AREA_TEMPERATURE(area=area.id))),
            ("Rules of", place(area.place.value).name if area.place else None),
        ),
    )


def _detectors(book: HandbookContext, area: Area) -> Block:
    rows = (
        (
            book.link("model", model.id),
            listed(book.links("sensor", (sensor.id for _, sensor in book.program.fitted(model)))),
            "pumped" if model.pump else "diffusion",
        )
        for model in book.program.models_in(area)
    )
    return table(("Detector", "Sensors", "Sampling"), rows, caption="Detectors allowed here")


def _reasons(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    entries = ((channel, book.program.setpoint(area.id, channel)) for channel in book.program.channels_in(area))
    return (
        head("Why the alarms are set so"),
        *points(inlines(*book.channel(channel), ": ", entry.reason.value) for channel, entry in entries if entry),
        para("The other areas: ", to("page:setpoints", "alarm setpoints"), "."),
    )


def _rules(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    rows: list[Row] = []
    for name in QUANTITIES:
        keys = (limit_key(area.id, name, kind) for kind in KINDS)
        found = [book.ledger.figures[key] for key in keys if key in book.ledger.figures]
        for figure in found:
            read = "" if figure.read else "Not read in its own words. "
            asks = RULE_KINDS.get(figure.key.rpartition(".")[2], "stay out")
            remarks = inlines(f"{read}{figure.note}")
            rows.append((f"{RULED[name]}: {asks}", book.fig(figure.key), figure.source, remarks))
        if not found and name in ("oxygen-low", "oxygen-high", "flammable"):
            rows.append((RULED[name], Absent(NO_RULE), "", ""))
    return (
        head("The strictest rule that applies"),
        para(fixed("areas.sign")),
        table(("For", "When the reading is", "Rule", "Remarks"), rows, numeric=(1,)),
    )


def _truths(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    form, corrected = corrector(book, area), reading_corrections(book, area)
    made = (*form, *((corrected,) if corrected else ()))
    return (head("From the display to what is there", "correct-a-reading"), *made) if made else ()


# ---- sampling ----------------------------------------------------------------------


def _sampling(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    rows = [
        (
            book.link("model", model.id),
            book.fig(keyed.HOSE_DRAW_TIME(area=area.id, model=model.id)),
            book.fig(keyed.HOSE_WAIT(area=area.id, model=model.id)),
            book.maybe(keyed.HOSE_DESCENT_SPEED(area=area.id, model=model.id)) or "tested from outside",
        )
        for model in book.program.models_in(area)
        if keyed.HOSE_WAIT(area=area.id, model=model.id) in book.ledger
    ]
    levels = facts(
        ("Depth", book.maybe(keyed.AREA_DEPTH(area=area.id))),
        ("Hose used here", book.maybe(keyed.AREA_HOSE(area=area.id))),
        ("Test levels from above", book.maybe(keyed.LEVELS_COUNT(area=area.id))),
        ("Time for all levels", book.maybe(keyed.LEVELS_TOTAL_TIME(area=area.id))),
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
    units = [unit for unit in book.program.units.values() if unit.area and unit.area.value == area.id]
    rows = (
        (book.link("unit", unit.id), book.link("model", unit.model.value), word(STATES, unit.state.value))
        for unit in units
    )
    return (
        head("Detectors and procedures"),
        _detectors(book, area),
        facts(
            ("For this area", listed(book.links("procedure", own))),
            ("For every area", listed(book.links("procedure", everywhere))),
        ),
        kept_here(book, area.id)
        if many_units(book)
        else table(("Detector", "Model", "State"), rows, caption="Kept here", empty="none"),
    )
