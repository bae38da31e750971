"""One translation stands at two alarms whose actions differ: to whoever reads it, one of them tells another action.

Source: common practice; a line copied and only its first language changed. Alarms that ask for the same say it in the
same words, in each language.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE
from builder.program.languages import LANGUAGES
from builder.program.localized import LocalizedText
from builder.program.program import Program

ID = "action-of-another"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each action of which a translation is that of an action told before."""
    meant: dict[tuple[str, str], LocalizedText] = {}
    told: set[tuple[str, str, str]] = set()
    for action in _actions(computed.program):
        for language, text in action.others.items():
            first = meant.setdefault((language, _words(text)), action)
            case = (language, _words(first), _words(action))
            if _words(first) != _words(action) and case not in told:
                told.add(case)
                yield _finding(language, first, action, text)


def _actions(program: Program) -> Iterator[LocalizedText]:
    """Every action of every alarm, of the entrant and of others."""
    for entry in program.setpoints:
        for alarm in entry.alarms.values():
            yield from (text for text in (alarm.action, *alarm.actions.values()) if isinstance(text, LocalizedText))


def _words(text: Given[str]) -> str:
    return " ".join(text.value.split()).casefold()


def _finding(language: str, first: LocalizedText, second: LocalizedText, text: Given[str]) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.STOP,
        message=f"The {LANGUAGES[language].name} text “{text.text}” stands here for “{second.value}”, and at "
        f"{first.others[language].where} for “{first.value}”. One of the two tells another action.",
        where=text.where,
        figures=(),
        source=COMMON_PRACTICE,
        mend="translate each action by itself; where both mean the same, say it in the same words",
        subject="page:setpoints",
    )
