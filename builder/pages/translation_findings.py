"""Findings for what papers print in another language and do not have, that nobody checked, or that a site reworded."""

import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import date

from builder.base.finding import Finding, Severity
from builder.base.where import Given, Where
from builder.figures.ledger import Ledger
from builder.pages.fixed_words import FIXED, ON_FORMS, ON_LABELS
from builder.pages.translator import PaperTexts, wording_of
from builder.pages.wording import catalogue_of, plain, texts_code
from builder.program.alarm_words import OXYGEN_WORDS, RISING_WORDS, SPELT_WORDS
from builder.program.languages import ENGLISH, LANGUAGES
from builder.program.program import Program
from builder.program.site import Checked

MISSING, UNREVIEWED, STALE = "translation-missing", "translation-unreviewed", "translation-stale"
SOURCE = "Common practice, no published source: a person acts on the words only in a language that the person reads"


def translation_findings(
    program: Program, ledger: Ledger, texts: Iterable[PaperTexts], *, release: bool
) -> tuple[Finding, ...]:
    """A finding for each text without translation, and one for each language that nobody checked.

    :param texts: of every paper as it was composed.
    :param release: whether a release is asked for, which a missing translation stops.
    """
    missing: dict[tuple[str, Where, str], list[str]] = {}
    used: dict[str, Given[str]] = {}
    for paper in texts:
        if paper.language.value != ENGLISH:
            used.setdefault(paper.language.value, paper.language)
        for where, text in paper.missing:
            missing.setdefault((paper.language.value, where, text), []).append(paper.paper)
    severity = Severity.STOP if release else Severity.WARN
    made = [_missing(*key, papers, severity) for key, papers in missing.items()]
    checked = program.site.translations_checked
    why = (
        (given, language, why_unchecked(language, checked.get(language), ledger.today))
        for language, given in used.items()
    )
    return (*made, *(_unreviewed(language, given, reason) for given, language, reason in why if reason))


def _missing(language: str, where: Where, text: str, papers: list[str], severity: Severity) -> Finding:
    listed = ", ".join(dict.fromkeys(papers))
    shown = " ".join(plain(text).split())
    return Finding(
        rule=MISSING,
        severity=severity,
        message=f"No {LANGUAGES[language].name} text for “{shown}”, which is printed on: {listed}.",
        where=where,
        source=SOURCE,
        mend=f"write it as a mapping by language, with {language}: ...; a text of the builder needs its catalogue",
        subject=f"card:{papers[0]}" if " " not in papers[0] else "due:files",
    )


def checked_languages(program: Program, ledger: Ledger) -> frozenset[str]:
    """Languages whose texts somebody answers for as they are."""
    checked, today = program.site.translations_checked, ledger.today
    return frozenset(language for language, one in checked.items() if not why_unchecked(language, one, today))


def why_unchecked(language: str, checked: Checked | None, today: date) -> str:
    """Why the texts of a language count as unreviewed; empty where they were checked as they are."""
    name = LANGUAGES[language].name
    if checked is None:
        return f"Nobody is named who checked the {name} texts; those of the builder are unreviewed translations."
    if checked.on.value > today:
        return f"{checked.by.value} is said to check the {name} texts on a day that has not come: {checked.on.text}."
    if checked.texts.value != texts_code(language):
        was = f"{checked.by.value} checked on {checked.on.text}"
        return f"The builder's {name} texts, {texts_code(language)}, are not those that {was}: {checked.texts.value}."
    return ""


def _unreviewed(language: str, given: Given[str], why: str) -> Finding:
    return Finding(
        rule=UNREVIEWED,
        severity=Severity.WARN,
        message=why,
        where=given.where,
        source=SOURCE,
        mend=f"have all of them read by someone who speaks {LANGUAGES[language].name} and knows the trade, then enter "
        f"under translations-checked in site.yaml: {language}: {{by: name, on: day, texts: {texts_code(language)}}}",
        subject="page:cards",
    )


# ---- what a site says in place of the builder ----------------------------------------------


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
