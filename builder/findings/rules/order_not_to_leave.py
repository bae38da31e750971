"""What an alarm asks of whoever is in the place is not to leave: it orders to stay or go on, or no word says to leave.

Each text is held against plain words of its own language. Not asked: what rescuers do, who are on air, and what is for
attendants and calibrators, who are not in the place. Source: 29 CFR 1910.146 (h)(5): entrants leave at an alarm; (h)(4)
and common practice for other work.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.program.languages import LANGUAGES
from builder.program.localized import LocalizedText
from builder.program.order_words import Order, order_of
from builder.program.program import Program

ID = "order-not-to-leave"
SEVERITIES = (Severity.STOP, Severity.WARN)
ELSEWHERE = ("rescue", "attendant", "calibrator")
"""Who does something else at an alarm than to leave."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` where a text orders to stay or go on, a ``warn`` where none of its words is known to say leave."""
    told: set[tuple[str, str]] = set()
    for alarm, language, text in _orders(computed.program):
        order = order_of(text.value, language)
        if order is not Order.LEAVE and (language, text.value) not in told:
            told.add((language, text.value))
            yield _finding(alarm, language, text, order)


def _orders(program: Program) -> Iterator[tuple[str, str, Given[str]]]:
    """Name of the alarm, language and text of each."""
    first = program.site.languages[0].value
    for entry in program.setpoints:
        for alarm in entry.alarms.values():
            others = (text for role, text in alarm.actions.items() if role not in ELSEWHERE)
            for text in (alarm.action, *others):
                name = f"{entry.channel.value} {alarm.name}"
                yield name, first, text
                if isinstance(text, LocalizedText):
                    yield from ((name, language, other) for language, other in text.others.items())


def _finding(alarm: str, language: str, text: Given[str], order: Order) -> Finding:
    stays = order is Order.STAY
    orders = "orders to stay or go on" if stays else "has no word that is known to say leave"
    return Finding(
        rule=ID,
        severity=Severity.STOP if stays else Severity.WARN,
        message=f"The action “{text.value}” at {alarm} {orders} ({LANGUAGES[language].name}). "
        "Who is in the place leaves at an alarm, and thinks outside.",
        where=text.where,
        figures=(),
        source="29 CFR 1910.146 (h)(5) for entrants; elsewhere common practice, no published source",
        mend="begin the action with an order to leave, such as Leave. or Out now.",
        subject="page:setpoints",
    )
