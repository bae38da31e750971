"""Findings for pages in other languages, and for translations whose English is no longer said."""

from collections.abc import Iterable, Iterator, Mapping
from difflib import get_close_matches

from builder.base.finding import Finding, Severity
from builder.base.where import Given, Where
from builder.pages.languages.compose import Edition
from builder.pages.languages.speech import built_in
from builder.pages.translation_findings import MISSING, SOURCE, STALE, UNREVIEWED
from builder.pages.translation_findings import known_texts as known_texts_of_papers
from builder.pages.wording import catalogue_of
from builder.program.languages import ENGLISH, LANGUAGES
from builder.program.program import Program
from builder.program.translations import Translation

TWICE = "translation-twice"
ALIKE = 0.6
"""How much of an English text has to be the same for it to count as changed; common practice, no source."""
SHOWN = 5


def page_findings(program: Program, editions: Iterable[Edition], checked: frozenset[str]) -> Iterator[Finding]:
    """What pages lack, what of them nobody read, and what translations no longer fit.

    :param checked: languages all of whose texts somebody answers for.
    """
    published = {given.value: given for given in program.site.pages_in}
    for edition in editions:
        language = edition.language
        if language in published:
            yield from _missing(edition, published[language])
            yield from _unread(program, edition, published[language]) if language not in checked else ()
        yield from _stale(language, program.translations.get(language, {}), known_texts(program, edition))
    yield from _twice(program)


def known_texts(program: Program, edition: Edition) -> Mapping[str, None]:
    """Every English text that a translation of the site can be of."""
    if edition.language == ENGLISH:
        return dict.fromkeys(known_texts_of_papers(ENGLISH))
    papers = catalogue_of(edition.language)
    own = (text.value for text in program.localized)
    return dict.fromkeys((*edition.speech.asked, *own, *built_in(edition.language), *papers.plurals))


def changed_from(gone: str, known: Iterable[str]) -> str:
    """The text that one which is no longer said was changed into, as far as can be told; empty where none is near.

    >>> changed_from("Leave. Report it.", ["Leave. Call 4400.", "Leave. Report it now.", "Value"])
    'Leave. Report it now.'
    """
    return next(iter(get_close_matches(gone, known, n=1, cutoff=ALIKE)), "")


def stale(translations: Mapping[str, Translation], known: Mapping[str, None]) -> tuple[Translation, ...]:
    """Translations of texts that are no longer said."""
    return tuple(one for english, one in translations.items() if english not in known)


def _missing(edition: Edition, given: Given[str]) -> Iterator[Finding]:
    missing = edition.speech.missing
    if not missing:
        return
    name = LANGUAGES[edition.language].name
    texts = dict.fromkeys(text for texts in missing.values() for text in texts)
    most = sorted(missing, key=lambda page: -len(missing[page]))[:SHOWN]
    listed = ", ".join(f"{page} {len(missing[page])}" for page in most)
    yield _warned(
        MISSING,
        f"{len(texts)} texts on {len(missing)} pages in {name} have no translation and are shown in English, "
        f"marked so; most of them on: {listed}.",
        given.where,
        f"handbook translate {edition.language}, have the file filled in, and take it back with --take",
    )


def _unread(program: Program, edition: Edition, given: Given[str]) -> Iterator[Finding]:
    waiting = unread_texts(program, edition)
    if waiting:
        name = LANGUAGES[edition.language].name
        told = f"{len(waiting)} texts on pages in {name} are translations that nobody is named to have read."
        mend = f"handbook translate {edition.language}, have it read, and take it back with --take FILE --by NAME"
        yield _warned(UNREVIEWED, told, given.where, mend)


def unread_editions(program: Program, editions: Iterable[Edition], checked: frozenset[str]) -> frozenset[str]:
    """Languages with texts on pages that nobody answers for."""
    return frozenset(
        edition.language for edition in editions if edition.language not in checked and unread_texts(program, edition)
    )


def unread_texts(program: Program, edition: Edition) -> tuple[str, ...]:
    """Texts of pages that have a translation which nobody answers for."""
    reviewed = {english for english, one in program.translations.get(edition.language, {}).items() if one.by}
    lacking = {text for texts in edition.speech.missing.values() for text in texts}
    return tuple(text for text in edition.speech.asked if text not in reviewed and text not in lacking)


def _stale(language: str, own: Mapping[str, Translation], known: Mapping[str, None]) -> Iterator[Finding]:
    free = [text for text in known if text not in own]
    for one in stale(own, known):
        now = changed_from(one.of.value, free)
        told = f"; nearest to it now: “{now}”" if now else ""
        yield _warned(
            STALE,
            f"The English of a text in {LANGUAGES[language].name} is no longer said, so that text is "
            f"not used: “{one.of.value}”{told}.",
            one.of.where,
            f"handbook translate {language}: the changed text comes with the old translation to look at",
        )


def _twice(program: Program) -> Iterator[Finding]:
    for text in program.localized:
        for language, beside in text.beside.items():
            one = program.translations.get(language, {}).get(text.value)
            if one is not None and one.says.value != beside.value:
                told = f"“{text.value}” has two {LANGUAGES[language].name} texts; that of {one.says.where} is printed."
                yield _warned(TWICE, told, beside.where, "take one of them out")


def _warned(rule: str, message: str, where: Where, mend: str) -> Finding:
    return Finding(
        rule=rule,
        severity=Severity.WARN,
        message=message,
        where=where,
        source=SOURCE,
        mend=mend,
        subject="page:home",
    )
