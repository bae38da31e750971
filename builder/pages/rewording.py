"""Findings for what a site says on cards and sheets in place of the builder's words."""

import re
from collections.abc import Iterator, Mapping

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.pages.fixed_words import FIXED, ON_FORMS, ON_LABELS
from builder.pages.translation_findings import SOURCE, STALE
from builder.pages.translator import wording_of
from builder.pages.wording import catalogue_of, plain
from builder.program.alarm_words import OXYGEN_WORDS, RISING_WORDS, SPELT_WORDS
from builder.program.languages import ENGLISH, LANGUAGES
from builder.program.program import Program

MISLEADS = "wording-misleads"
SAME_EVERYWHERE = frozenset((*FIXED.values(), *ON_FORMS.values(), *ON_LABELS.values()))
"""What is the same on every card and sheet of every site."""
TOLD_APART = (*OXYGEN_WORDS.values(), *RISING_WORDS.values(), *SPELT_WORDS.values())
"""Alarms of a channel: no two of them may have one name."""
VITAL = re.compile(r"\b(never|not|nobody|no|without|stay|out|leave|stop|less|more|fails?)\b", re.IGNORECASE)
"""Words that turn an order round, or are one; common practice, no source."""


def reworded_findings(program: Program) -> Iterator[Finding]:
    """A ``stop`` for words that can be mistaken or must not be changed, a ``warn`` where sense may be lost."""
    for language, own in program.translations.items():
        texts = known_texts(language)
        for english, one in own.items():
            if english in texts and one.says.value != texts[english]:
                yield from _misleading(language, english, one.says.value, one.says.where)
            elif language == ENGLISH and english not in texts:
                told = (
                    f"The builder does not say “{english}” on any card or sheet, so “{one.says.value}” is not printed."
                )
                mend = "handbook translate en: it lists what can be worded otherwise"
                yield _finding(Severity.WARN, told, one.of.where, mend, STALE)
        yield from _alike(program, language)


def known_texts(language: str) -> Mapping[str, str]:
    """What the builder says on cards and sheets, in a language; each language has every text."""
    others = (tag for tag in LANGUAGES if tag != ENGLISH)
    if language != ENGLISH:
        return catalogue_of(language).texts
    return {text: plain(text) for text in catalogue_of(next(others)).texts}


def _misleading(language: str, english: str, said: str, where: Where) -> Iterator[Finding]:
    usual = plain(english)
    if english in SAME_EVERYWHERE:
        told = f"“{said}” for “{usual}”, which is the same on every card and sheet and stays as the builder has it."
        yield _finding(Severity.STOP, told, where, "take it out")
    elif language == ENGLISH and VITAL.search(usual) and not VITAL.search(said):
        told = f"“{said}” for “{usual}” has none of its words that forbid or order: {', '.join(VITAL.findall(usual))}."
        yield _finding(Severity.WARN, told, where, "say what must be done or left as plainly as before")


def _alike(program: Program, language: str) -> Iterator[Finding]:
    wording = wording_of(program, language)
    named: dict[str, str] = {}
    for text in TOLD_APART:
        said = wording.text(text)
        first = named.setdefault(said.casefold(), text)
        if first != text:
            own = program.translations[language]
            told = f"“{said}” stands for “{first}” and for “{text}”: one alarm is taken for the other."
            one = own.get(text) or own[first]
            yield _finding(Severity.STOP, told, one.says.where, "give each a name of its own")


def _finding(severity: Severity, message: str, where: Where, mend: str, rule: str = MISLEADS) -> Finding:
    return Finding(
        rule=rule, severity=severity, message=message, where=where, source=SOURCE, mend=mend, subject="page:cards"
    )
