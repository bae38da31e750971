"""What decides in an area, in few lines: what to carry, what to test, what is not seen, what to do when it sounds.

The page of the area begins with it, and its opening in a printed book is made of nothing else.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from builder.base.quantity import magnitude
from builder.findings.seen_table import poisons_unseen
from builder.pages.blocks import Absent, Block, Drawing, Heading, Inlines, Strong, Table, Text
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import ACTIVITIES, RISKS, ROLES, capital, small, word
from builder.pages.handbook.parts import Row, apart, facts, head, inlines, listed, para, points, table
from builder.program.areas import Area
from builder.program.cards import CardSpec
from builder.program.carry import CarriedSet
from builder.program.keys import families as keyed
from builder.program.sensors import OXYGEN
from builder.program.site import Contact

SOUNDS = "it-sounds"
"""Anchor of the heading over the alarms."""


def activities_in(area: Area) -> Inlines:
    """The work done there."""
    return inlines(apart(capital(", ".join(word(ACTIVITIES, given.value) for given in area.activities))))


# ---- before going in ----------------------------------------------------------------


def carried(book: HandbookContext, one: CarriedSet) -> Inlines:
    """One set: what is carried together, and for whom where that is not everybody."""
    together = listed(book.links("model", one.models), mark=" and ")
    whom = [*(word(ROLES, given.value) for given in one.roles)]
    doing = [*(word(ACTIVITIES, given.value) for given in one.activities)]
    limits = "; ".join(", ".join(part) for part in (whom, doing) if part)
    several = inlines(apart(", at the same time")) if len(one.models) > 1 else ()
    return (*together, *several, *(inlines(" (", apart(limits), ")") if limits else ()))


def sets_of(book: HandbookContext, area: Area) -> Inlines:
    """The sets of which one is carried in an area."""
    return listed((carried(book, one) for one in area.carry), mark="; or ")


def risk_words(risk: str) -> Inlines:
    """Which way oxygen goes, after its name."""
    return inlines(": ", apart(word(RISKS, risk))) if risk else ()


def in_the_air(book: HandbookContext, area: Area) -> Inlines:
    """Every hazard in one line."""
    return listed((book.link("gas", hazard.gas.value), *risk_words(hazard.risk)) for hazard in area.hazards)


def hazard_rows(book: HandbookContext, area: Area) -> Iterator[Row]:
    """Every hazard, and why it can be there."""
    for hazard in area.hazards:
        yield (book.link("gas", hazard.gas.value), *risk_words(hazard.risk)), hazard.why.value


def test_order(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """What is tested in which order, at which readings people go in where they do, and at which nobody does."""
    rows: list[Row] = []
    entered = area.entered and book.program.site.entry is not None
    for channel in book.program.channels_in(area):
        stay_out = _stay_out(book, area, channel)
        if stay_out:
            go_in = (_go_in(book, channel),) if entered else ()
            rows.append((inlines(f"{len(rows) + 1}. ", apart(book.channel_name(channel))), *go_in, stay_out))
    columns = ("Test", "Go in only at", "Stay out") if entered else ("Test", "Stay out")
    between = (para("Anything between: the entry supervisor decides."),) if entered else ()
    return (head("Test in this order"), table(columns, rows, empty="no alarm is set"), *between) if rows else ()


def _go_in(book: HandbookContext, channel: str) -> Inlines:
    """The readings that the site accepts for going in; without them its first alarm is no leave to enter."""
    low, high = book.maybe(keyed.ENTRY_FROM(channel=channel), bare=True), book.maybe(keyed.ENTRY_TO(channel=channel))
    if not high:
        return (Absent("no value"),)
    return inlines(*low, " to ", *high) if low else high


def _stay_out(book: HandbookContext, area: Area, channel: str) -> Inlines:
    """The reading at which nobody goes in: oxygen on either side, anything else at its first alarm.

    The reading of the alarm itself is among them, since a unit sounds at it.
    """
    entry = book.program.setpoint(area.id, channel)
    if entry is None or not entry.alarms:
        return ()
    sides = (("low", " or less"), ("high", " or more"))
    wanted = [side for side in sides if side[0] in entry.alarms] if channel == OXYGEN else []
    return listed(
        (
            inlines(*book.fig(keyed.SETPOINT(area=area.id, channel=channel, alarm=alarm)), words)
            for alarm, words in wanted or ((next(iter(entry.alarms)), " or more"),)
        ),
        mark=", ",
    )


def waits(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """How long to wait at every level below a hose."""
    lines = facts(
        *(
            (
                inlines("Wait, ", apart(book.names[f"model:{model.id}"])),
                book.maybe(keyed.HOSE_WAIT(area=area.id, model=model.id)),
            )
            for model in book.program.models_in(area)
        ),
        ("Depth", book.maybe(keyed.AREA_DEPTH(area=area.id))),
        ("Hose", book.maybe(keyed.AREA_HOSE(area=area.id))),
        ("Levels to test, from above", book.maybe(keyed.LEVELS_COUNT(area=area.id))),
        ("All levels take at least", book.maybe(keyed.LEVELS_TOTAL_TIME(area=area.id))),
    )
    return (head("Through the hose, at every level"), lines) if lines.rows else ()


def unseen(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """What none of the detectors carried here shows."""
    lines = [*_blind_sets(book, area), *_poisons(book, area)]
    fitted = (pair for model in book.program.models_in(area) for pair in book.program.fitted(model))
    for sensor in {sensor.id: sensor for _, sensor in fitted}.values():
        if sensor.blind_to:
            lines.append(
                inlines(apart(sensor.name), ": blind to ", _gases(book, (g.value for g in sensor.blind_to)), ".")
            )
        least = book.maybe(keyed.SENSOR_MINIMUM_OXYGEN(sensor=sensor.id))
        if least:
            lines.append(inlines(apart(sensor.name), ": reads low or nothing below ", *least, " of oxygen."))
    return (head("The display does not see"), *points((*lines, inlines("Any gas that is not on this page."))))


def _blind_sets(book: HandbookContext, area: Area) -> Iterator[Inlines]:
    """Of each set that is carried together, the gases of this area that none of its sensors sees."""
    for one in area.carry:
        models = [book.program.models[given.value] for given in one.models]
        sensors = [sensor for model in models for _, sensor in book.program.fitted(model)]
        missed = [h.gas.value for h in area.hazards if not any(sensor.sees(h.gas.value) for sensor in sensors)]
        if missed:
            names = apart(" and ".join(model.name for model in models))
            yield (Strong(inlines(names, ": no sensor for ", _gases(book, missed), ".")),)


def _poisons(book: HandbookContext, area: Area) -> Iterator[Inlines]:
    """Gases that harm long before the only alarm for them, which warns of fire."""
    for gas, (first, limit) in poisons_unseen(book.program, book.ledger, area).items():
        name = apart(book.names[f"gas:{gas}"])
        there, allowed = book.fig(first.there.key), book.fig(limit.key)
        yield (Strong(inlines(name, " as a poison: first alarm at ", *there, ", limit ", *allowed, ".")),)


def _gases(book: HandbookContext, names: Iterable[str]) -> Text:
    return apart(", ".join(small(book.names[f"gas:{name}"]) for name in names))


# ---- when it sounds -----------------------------------------------------------------


def alarms_and_actions(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """Every alarm with its number and what to do, in the order air is tested."""
    rows: list[Row] = []
    for channel in book.program.channels_in(area):
        entry = book.program.setpoint(area.id, channel)
        if entry is None:
            rows.append((apart(book.channel_name(channel)), Absent("no setpoint is given"), ""))
            continue
        rows += [
            (
                inlines(apart(book.channel_name(channel)), ": ", apart(small(book.alarm_name(channel, alarm)))),
                book.fig(keyed.SETPOINT(area=area.id, channel=channel, alarm=alarm)),
                Strong(inlines(entry.alarms[alarm].action.value)),
            )
            for alarm in entry.alarms
        ]
    return (
        Heading(2, inlines("It sounds: ", apart(area.name)), SOUNDS),
        table(("Alarm", "Set to", "Do this"), rows, numeric=(1,), kind="alarms", empty="no alarm is set"),
    )


def whom_to_call(book: HandbookContext, area: Area | None = None) -> tuple[Block, ...]:
    """The numbers, where the site gives any, and how soon help is called and comes in an area."""
    made = tuple(block for block in (calls(book), *((_help(book, area),) if area else ())) if block.rows)
    return (head("Call"), *made) if made else ()


def _help(book: HandbookContext, area: Area) -> Table:
    """The times of the area: of whoever lies still with the set that calls last, and what calls nobody by itself."""
    called = {one: _called_by(book, one) for one in area.carry}
    last = max((model for model in called.values() if model), key=lambda model: _after(book, model), default=None)
    silent = [one for one, model in called.items() if model is None]
    known, there = (
        book.maybe(family(model=last)) if last else None for family in (keyed.MODEL_KNOWN_AFTER, keyed.MODEL_HELP_AFTER)
    )
    return facts(
        ("Help must be called within", book.maybe(keyed.AREA_RESCUE_WITHIN(area=area.id))),
        ("Someone lies still: others know after", known),
        ("Help is there after", there),
        ("Expect no call from", listed((carried(book, one) for one in silent), mark="; or ") if silent else None),
    )


def _called_by(book: HandbookContext, one: CarriedSet) -> str | None:
    """The detector of a set that is the first to call others, where it is stated that one does."""
    calling = [given.value for given in one.models if keyed.MODEL_KNOWN_AFTER(model=given.value) in book.ledger]
    return min(calling, key=lambda model: _after(book, model), default=None)


def _after(book: HandbookContext, model: str) -> Fraction:
    return magnitude(book.ledger[keyed.MODEL_KNOWN_AFTER(model=model)].amount, "s")


def calls(book: HandbookContext) -> Table:
    """Whom to call: the number first, since it is what is looked for."""
    rows = (
        (
            (Strong(inlines(apart(contact.call.value))), *_from_outside(contact)),
            apart(contact.name.value),
            apart(contact.role.value),
        )
        for contact in book.program.site.contacts
    )
    return table(("Number", "Who", "For"), rows, kind="calls")


def _from_outside(contact: Contact) -> Inlines:
    return (*inlines("; from outside "), Strong(inlines(apart(contact.outside.value)))) if contact.outside else ()


def cards_of(book: HandbookContext, area: Area) -> tuple[CardSpec, ...]:
    """The pocket cards of an area."""
    return tuple(card for card in book.program.cards.values() if card.area and card.area.value == area.id)


def plan_of_areas(book: HandbookContext, how: str) -> tuple[Block, ...]:
    """The plan, and which areas it does not show; nothing where the site draws none.

    :param how: how somebody gets from the plan to an area.
    """
    plan = book.program.plan
    if plan is None:
        return ()
    names = {area.id: area.name for area in book.program.areas.values()}
    missing = [inlines(name) for area, name in names.items() if area not in plan.areas]
    drawn = Drawing("Plan of the areas", f"{how} Not to scale.", plan, names)
    return (drawn, *((para("Not on the plan: ", listed(missing), "."),) if missing else ()))
