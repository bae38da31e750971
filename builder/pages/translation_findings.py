"""Findings for what papers print in another language and do not have, and for languages that nobody checked."""

from collections.abc import Iterable
from datetime import date

from builder.base.finding import Finding, Severity
from builder.base.where import Given, Where
from builder.figures.ledger import Ledger
from builder.pages.paper_texts import PaperTexts
from builder.pages.wording import plain, texts_code
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
