"""Texts of the content by language: what is read, what is refused, what a missing one costs."""

from __future__ import annotations

import re
import shutil

import pytest

from builder import pipeline
from builder.base.errors import ContentError
from builder.pages.wording import texts_code
from tests.conftest import DAY, MINIMAL


@pytest.fixture
def site(tmp_path):
    """The minimal site in English and Spanish, to be changed by (file, old, new)."""

    def change(*changes):
        folder = tmp_path / "lang-site"
        shutil.copytree(MINIMAL, folder)
        for file, old, new in (("site.yaml", "languages: [en]", "languages: [en, es]"), *changes):
            path = folder / file
            text = path.read_text(encoding="utf-8")
            assert old in text, (file, old)
            path.write_text(text.replace(old, new), encoding="utf-8")
        return folder

    return change


CARD = "cards/pit-entrant.yaml"
SPANISH = (CARD, "languages: [en]", "languages: [en, es]")


def read_by(**changed):
    """A change of ``site.yaml`` that names who read the Spanish texts as they are, or otherwise."""
    entry = {"by": "A. Person", "on": "2026-11-01", "texts": texts_code("es")} | changed
    told = ", ".join(f"{key}: {value}" for key, value in entry.items())
    return "site.yaml", "paper: ", f"translations-checked: {{es: {{{told}}}}}\npaper: "


def found(folder, *, release=False):
    findings = pipeline.judge(folder, DAY, release=release).findings
    return [one for one in findings if one.rule.startswith("translation-")]


def problems(folder):
    with pytest.raises(ContentError) as caught:
        pipeline.judge(folder, DAY)
    return [str(problem) for problem in caught.value.problems]


def test_english_alone_asks_for_nothing(site):
    assert found(site()) == []


@pytest.mark.parametrize(("release", "severity"), [(False, "warn"), (True, "stop")])
def test_a_missing_translation_warns_in_a_draft_and_stops_a_release(site, release, severity):
    missing = [one for one in found(site(SPANISH), release=release) if one.rule == "translation-missing"]
    assert missing
    assert {one.severity.value for one in missing} == {severity}
    assert all("No Spanish text for" in one.message and "pit-entrant" in one.message for one in missing)
    assert any(one.where.file == "setpoints.yaml" for one in missing)


def test_a_language_nobody_checked_warns_until_somebody_is_named(site, tmp_path):
    unchecked = [one for one in found(site(SPANISH)) if one.rule == "translation-unreviewed"]
    assert [(one.severity.value, one.where.file) for one in unchecked] == [("warn", CARD)]
    assert texts_code("es") in unchecked[0].mend
    shutil.rmtree(tmp_path / "lang-site")
    assert [one for one in found(site(SPANISH, read_by())) if one.rule == "translation-unreviewed"] == []


@pytest.mark.parametrize(
    ("entry", "message"),
    [
        ({"texts": "ES-22222"}, r"texts, ES-\w{5}, are not those that A. Person checked on 2026-11-01: ES-22222"),
        ({"on": "2026-11-26"}, "A. Person is said to check the Spanish texts on a day that has not come: 2026-11-26"),
    ],
)
def test_texts_count_as_checked_only_as_they_were_read(site, entry, message):
    (one,) = [one for one in found(site(SPANISH, read_by(**entry))) if one.rule == "translation-unreviewed"]
    assert re.search(message, one.message), one.message


def test_who_checked_a_language_is_told_in_full(site):
    told = problems(site(SPANISH, ("site.yaml", "paper: ", "translations-checked: {es: {by: A. Person}}\npaper: ")))
    assert [re.search(r"no '(\w+)'", line)[1] for line in told] == ["on", "texts"]


def test_a_translation_with_other_numbers_is_refused(site):
    title = next(line for line in (MINIMAL / CARD).read_text().splitlines() if line.startswith("title:"))
    told = problems(site(SPANISH, (CARD, title, "title: {en: Pit 4, es: Foso 5}")))
    assert any("the text in es has other numbers than" in line for line in told)


def test_a_mapping_needs_the_first_language_and_known_ones(site):
    title = next(line for line in (MINIMAL / CARD).read_text().splitlines() if line.startswith("title:"))
    told = problems(site(SPANISH, (CARD, title, "title: {es: Foso, fr: Fosse}")))
    assert any("'title' without en, the site's first language" in line for line in told)
    assert any("'fr' in 'title'; allowed: a language of site.yaml: en, es" in line for line in told)


def test_a_card_speaks_only_languages_of_the_site(site):
    assert any(
        "'de' for 'languages'" in line for line in problems(site((CARD, "languages: [en]", "languages: [en, de]")))
    )


def test_the_first_language_of_a_site_is_english(site):
    told = problems(site(("site.yaml", "languages: [en, es]", "languages: [es, en]")))
    assert any("first language 'es'; allowed: en: the pages are in it" in line for line in told)


def test_a_bilingual_card_has_no_back_of_its_own(site):
    told = problems(site((CARD, "languages: [en]", "bilingual: [en, es]")))
    assert any("a bilingual card with a back of its own" in line for line in told)


@pytest.mark.parametrize(("words", "missing"), [("", ["gas:propane"]), ("propano", [])])
def test_a_link_in_a_translation_needs_words_of_its_own(site, words, missing):
    """Without any it is called by the title of a page, and pages are in English."""
    body = f"{{en: 'See [](gas:propane).', es: 'Ver [{words}](gas:propane).'}}"
    text = f"front:\n  - {{block: text, title: {{en: Gas, es: Gas}}, body: {body}}}"
    told = [one.message for one in found(site(SPANISH, (CARD, "front:", text)))]
    assert [re.search("“(gas:.*?)”", line)[1] for line in told if "gas:" in line] == missing
