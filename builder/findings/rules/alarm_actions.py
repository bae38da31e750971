"""What is done, and heard, when an alarm sounds."""

import re
from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Given, Where
from builder.figures.ledger import Ledger
from builder.findings.rule import rule
from builder.findings.sensor_coverage import channels_on
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.areas import Area
from builder.program.card_rescue import names
from builder.program.cards import EVERYBODY, CardSpec
from builder.program.keys.families import MODEL_LONE_WORKER_TOTAL
from builder.program.languages import LANGUAGES
from builder.program.localized import LocalizedText
from builder.program.models import Model
from builder.program.order_words import Order, order_of, orders_in
from builder.program.program import Program
from builder.program.setpoints import ENTRANT, Alarm
from builder.program.test_order import in_test_order


@rule(Severity.STOP, about="page:setpoints")
def action_of_another(program: Program) -> Iterator[Finding]:
    """One translation stands at two alarms whose actions differ: to whoever reads it, one of them tells another action.

    Source: common practice; a line copied and only its first language changed. Alarms that ask for the same say it
    in the same words, in each language.
    """
    # A stop for each action of which a translation is that of an action told before
    meant: dict[tuple[str, str], LocalizedText] = {}
    told: set[tuple[str, str, str]] = set()
    for action in _actions(program):
        for language, text in action.others.items():
            first = meant.setdefault((language, _words(text)), action)
            case = (language, _words(first), _words(action))
            if _words(first) != _words(action) and case not in told:
                told.add(case)
                yield action_of_another.found(
                    message=f"The {LANGUAGES[language].name} text “{text.text}” stands here for “{action.value}”, and "
                    f"at {first.others[language].where} for “{first.value}”. One of the two tells another action.",
                    where=text.where,
                    mend="translate each action by itself; where both mean the same, say it in the same words",
                )


def _actions(program: Program) -> Iterator[LocalizedText]:
    """Every action of every alarm, of the entrant and of others."""
    for entry in program.setpoints:
        for alarm in entry.alarms.values():
            yield from (text for text in (alarm.action, *alarm.actions.values()) if isinstance(text, LocalizedText))


def _words(text: Given[str]) -> str:
    return " ".join(text.value.split()).casefold()


ELSEWHERE = ("rescue", "attendant")
"""Who does something else at an alarm than to leave."""


NO_ORDER = {
    Order.STAY: "orders to stay or go on",
    Order.PERHAPS: "says leave only under a condition, or after something else",
    Order.UNKNOWN: "has no word that is known to say leave",
}


@rule(Severity.STOP, Severity.WARN, about="page:setpoints")
def order_not_to_leave(program: Program) -> Iterator[Finding]:
    """What an alarm asks of whoever is in the place is not to leave: it orders to stay or go on, or no word says leave.

    To leave if it sounds again, only at a second alarm, or after something else is no order to leave. Each text is
    held against plain words of its own language. Not asked: what rescuers do, who are on air, and what is for
    attendants, who are not in the place; but nobody may order an attendant in. Source: 29 CFR 1910.146 (h)(5): entrants
    leave at an alarm; (i)(4), attendants stay outside; (h)(4) and common practice for other work.
    """
    # A stop where a text orders to stay, to go on or in, a warn where it says leave under a condition, or no word does
    for role, alarm, language, text in _orders(program):
        if role == "attendant" and orders_in(text.value, language):
            yield order_not_to_leave.found(
                severity=Severity.STOP,
                message=f"The action “{text.value}” at {alarm} orders the attendant in ({LANGUAGES[language].name}). "
                "Who goes in after somebody lies beside him, and nobody calls.",
                where=text.where,
                source="29 CFR 1910.146 (i)(4)",
                mend="have the attendant call rescue, and use the line from outside",
            )
    told: set[tuple[str, str]] = set()
    for role, alarm, language, text in _orders(program):
        order = order_of(text.value, language)
        if role not in ELSEWHERE and order is not Order.LEAVE and (language, text.value) not in told:
            told.add((language, text.value))
            stays = order is Order.STAY
            orders = NO_ORDER[order]
            yield order_not_to_leave.found(
                severity=Severity.STOP if stays else Severity.WARN,
                message=f"The action “{text.value}” at {alarm} {orders} ({LANGUAGES[language].name}). "
                "Who is in the place leaves at an alarm, and thinks outside.",
                where=text.where,
                source="29 CFR 1910.146 (h)(5) for entrants; elsewhere common practice, no published source",
                mend="begin the action with an order to leave, such as “Leave” or “Out now”",
            )


def _orders(program: Program) -> Iterator[tuple[str, str, str, Given[str]]]:
    """For whom each order is, the name of its alarm, language and text."""
    first = program.site.languages[0].value
    for entry in program.setpoints:
        for alarm in entry.alarms.values():
            name = f"{entry.channel.value} {alarm.name}"
            for role, text in ((ENTRANT, alarm.action), *alarm.actions.items()):
                yield role, name, first, text
                if isinstance(text, LocalizedText):
                    yield from ((role, name, language, other) for language, other in text.others.items())


NUMBER = re.compile(r"[0-9]{3,}(?! ?(?:ppm|%))")


@rule(Severity.STOP, about="page:setpoints")
def number_of_nobody(program: Program) -> Iterator[Finding]:
    """An action of an alarm names a number that no contact of the site has: it rings nowhere, or at a stranger's.

    Numbers of three or more digits are looked at. Source: common practice, no published source; a number that was
    changed in one place and not in the other.
    """
    # A stop for each such number, once
    contacts = program.site.contacts
    known = {
        number
        for one in contacts
        for given in (one.call, one.outside)
        if given
        for number in NUMBER.findall(given.value)
    }
    for _, _, _, text in _orders(program):
        for number in NUMBER.findall(text.value):
            if number not in known:
                known.add(number)
                yield number_of_nobody.found(
                    message=f"The action “{text.value}” names {number}, which no contact of the site has.",
                    where=text.where,
                    mend="the same number in the action and in contacts of site.yaml",
                )


@rule(Severity.WARN, acceptable=True)
def alarm_not_relayed(program: Program, ledger: Ledger, model: Model) -> Iterator[Finding]:
    """A lone-worker alarm that nobody but the one who lies there hears, or of which nobody says whom it reaches.

    Source: common practice; a motion alarm that only sounds calls nobody.
    """
    # A warn for each model with such an alarm of which units are in use
    if (
        model.lone_worker is None
        or model.id not in program.models_used
        or (model.relay is not None and model.relay.reaches)
    ):
        return
    total = ledger.get(MODEL_LONE_WORKER_TOTAL(model=model.id))
    sounds = f"its lone-worker alarm{f' sounds after {total.printed} and' if total else ''}"
    reaches = "reaches nobody but its wearer" if model.relay else "nobody says whom it reaches"
    yield alarm_not_relayed.found(
        message=f"{model.name}: {sounds} {reaches}.",
        where=model.relay.to.where if model.relay else model.lone_worker.motionless.where,
        figures=keys(total),
        mend="relay it to somebody who acts, and say so under relay; or have nobody work alone with it",
    )


@rule(Severity.STOP, Severity.WARN, acceptable=True)
def alarm_only_seen(program: Program, model: Model) -> Iterator[Finding]:
    """A unit in use that warns with light alone, which nobody sees who looks at the work or lies on it.

    Where a noise is stated and no loudness, an alarm that does not shake may go unheard too. Source: the definition
    of a bump test in OSHA's bulletin of 26 Nov 2024 names alarms seen, heard and felt; common practice.
    """
    # A stop for each model that gives light alone, a warn for each noisy area where it is not known to be heard
    modes = model.alarm_modes
    ways = {way.value for way in modes.ways} if modes else set()
    if modes is None or model.id not in program.models_used or "vibration" in ways:
        return
    if "sound" not in ways:
        told = f"{model.name} warns with light alone: whoever does not look at it learns nothing"
        yield _finding_of_alarm_only_seen(Severity.STOP, told, modes.ways[0].where, f"model:{model.id}")
        return
    for area in program.areas.values() if modes.loudness is None else ():
        if area.noise and model in program.models_in(area):
            told = f"{area.name}: {model.name} does not shake and its loudness is not stated; the noise there is "
            told += f"{area.noise.text}. Whether its alarm is heard is not known"
            yield _finding_of_alarm_only_seen(Severity.WARN, told, area.noise.where, f"area:{area.id}")


def _finding_of_alarm_only_seen(severity: Severity, told: str, where: Where, subject: str) -> Finding:
    return alarm_only_seen.found(
        severity=severity,
        message=f"{told}.",
        where=where,
        source="OSHA bulletin on verifying calibration of 26 Nov 2024; common practice",
        mend="switch sound and vibration on, or carry a unit that is heard and felt",
        subject=subject,
    )


ATTENDANT = "attendant"
ASKED = ("entrant", ATTENDANT, "tester", "hot-work-watch", "rescue", EVERYBODY)
"""Who carries a detector where the gas may be, reads a sign, or calls others out; not who works at a bench."""


@rule(Severity.WARN)
def alarm_not_on_card(program: Program, card: CardSpec) -> Iterator[Finding]:
    """An alarm that may sound in a card's area, on a detector its reader carries, and of which the card says nothing.

    A rescuer's card must say of each alarm whether it stops him on air: in a block `rescue`, or in `alarm-actions`
    with an action of the alarm for `rescue`; the entrant's words do not count for him. Nor do they for an attendant,
    who stays at his post (29 CFR 1910.146 (i)(4)); he is asked for where his card has a block `alarm-actions`.

    Asked of signs, and of cards with an area for those who carry a detector: entrants, testers, hot work watches
    and rescuers. It is the card's model, or any that is allowed there where the card names none; what is carried
    together with that model counts too, and may stand on another card of the reader. Every channel with a setpoint
    must stand in a block `alarm-actions`, on whatever side or panel; `limits` does not say what to do
    and does not count. Source: common practice, no published source: who carries a detector must know what each of
    its alarms asks for.
    """
    # A warn for each such card, with all channels that it lacks
    if card.area is None or card.audience not in ASKED:
        return
    area = program.areas[card.area.value]
    lacking = _lacking(program, area, card)
    what = "does not say what to do then"
    mend = f"add {', '.join(lacking)} to channels of a block alarm-actions, or leave channels out: then it prints all"
    if card.audience == ATTENDANT:
        what = "gives an attendant the entrant's order"
        mend = "give these alarms actions: {attendant: ...}, or leave the block out"
    if lacking:
        yield alarm_not_on_card.found(
            message=f"{card.title}: an alarm of the {' or '.join(lacking)} channel may sound in {area.name}, "
            f"but the card {what}.",
            where=card.where,
            source=f"{COMMON_PRACTICE}: who carries a detector must know what each of its alarms asks for",
            mend=mend,
        )


def _lacking(program: Program, area: Area, card: CardSpec) -> tuple[str, ...]:
    """Channels with an alarm that may sound and that no block tells of, in test order.

    Those of a detector that is carried together with the card's may stand on another card of the same reader.
    """
    own = channels_on(program, area, card)
    cards = program.cards.values()
    beside = [one for one in cards if one.audience == card.audience and one.area and one.area.value == area.id]
    alarms = {
        channel
        for channel in own | _carried_beside(program, area, card)
        if (entry := program.setpoint(area.id, channel))
        for alarm in entry.alarms.values()
        if not any(_told(program, area, one, channel, alarm) for one in ([card] if channel in own else beside))
    }
    return in_test_order(alarms)


def _carried_beside(program: Program, area: Area, card: CardSpec) -> set[str]:
    """Channels of what its reader carries together with the card's model."""
    serving = (one for one in area.carry if any(one.serves(given.value, card.reader) for given in area.activities))
    sets = ({given.value for given in one.models} for one in serving)
    models = {model for one in sets if card.model and card.model.value in one for model in one}
    return {sensor.channel.value for model in models for _, sensor in program.fitted(program.models[model])}


def _told(program: Program, area: Area, card: CardSpec, channel: str, alarm: Alarm) -> bool:
    """Whether a block says what the reader does at an alarm; to an attendant no block need speak of it."""
    printed = False
    for block in card.blocks:
        if block.name == "rescue" and names((*block.stops, *block.goes_on), channel, alarm.name):
            return True
        # without channels it prints all of them
        listed = {given.value for given in block.channels} or channels_on(program, area, card)
        printed = printed or (block.name == "alarm-actions" and channel in listed)
    if card.audience == ATTENDANT:
        return not printed or ATTENDANT in alarm.actions
    return printed and alarm.action_of(card.reader) is not None
