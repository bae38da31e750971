"""Pages in other languages: what is translated, what is marked as English, and where their links lead.

``lang``, ``dir`` and ``hreflang`` are those of the HTML standard (WHATWG, 3.2.6 and 4.6.2); tags are of BCP 47; days
and decimal marks are CLDR's, asked for by way of Babel.
"""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from babel import Locale
from babel.dates import format_skeleton

from builder import pipeline
from builder.pages.blocks import Fig, Link, Strong, Text
from builder.pages.languages.runs import message_of, run_of
from builder.pages.languages.speech import Speech
from builder.pages.wording import PAGES, catalogue_of
from builder.program.languages import LANGUAGES
from builder.program.translations import why_wrong
from builder.render.jobs import Workshop
from builder.render.spoken import spoken_pages
from tests.languages.conftest import LANGUAGES as OTHERS
from tests.languages.site_in import judged as judged_now
from tests.languages.site_in import site_in
from tests.rendered import html_pages

VOID = {"meta", "link", "input", "br", "hr", "img", "col"}


class Texts(HTMLParser):
    """Text with the language and the direction that it is in."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[tuple[str, str]] = [("", "ltr")]
        self.found: list[tuple[str, str, str]] = []
        self.links: list[dict[str, str]] = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        lang, way = self.open[-1]
        if tag == "a":
            self.links.append(given)
        if tag not in VOID:
            self.open.append((given.get("lang", lang), given.get("dir", way)))

    def handle_endtag(self, _tag):
        self.open.pop()

    def handle_data(self, data):
        if data.strip():
            self.found.append((data.strip(), *self.open[-1]))


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """The smallest site with pages in Spanish and Arabic: path -> HTML, and what was judged."""
    found = judged_now(site_in(tmp_path_factory.mktemp("spoken"), "es", "ar"))
    composed = pipeline.compose(found)
    facts = pipeline.site_facts(found, draft=True)
    with Workshop(1) as shop:
        spoken = spoken_pages(found.published, {"es", "ar"}, found.ledger.figures, composed.hrefs, facts, shop)
        made = {page.path: one.data() for page, one in spoken}
        made |= html_pages(composed.pages, found.ledger.figures, composed.hrefs, facts, shop)
    return found, {path: data.decode() for path, data in made.items()}


def test_start_areas_and_procedures_are_there_in_each_language(site):
    found, files = site
    for language in ("es", "ar"):
        wanted = {f"{language}/index.html"}
        wanted |= {f"{language}/areas/{area}.html" for area in found.program.areas}
        wanted |= {f"{language}/procedures/{procedure}.html" for procedure in found.program.procedures}
        assert {path for path in files if path.startswith(f"{language}/")} == wanted


def test_names_in_a_list_are_told_apart_where_a_name_holds_what_parts_them():
    said = {"Vapour and oxygen": "Vapor y oxígeno", "Four gases": "Cuatro gases", "and": "y", "or": "o"}
    speech = Speech(language="es", texts=said, names=frozenset(said) - {"and", "or"})
    for english, spanish in (
        ("Four gases and Vapour and oxygen", "Cuatro gases y Vapor y oxígeno"),
        ("Vapour and oxygen and Four gases, or Four gases", "Vapor y oxígeno y Cuatro gases, o Cuatro gases"),
        ("Vapour and oxygen", "Vapor y oxígeno"),
    ):
        assert speech.listed(english, "area:pit") == spanish
    assert speech.listed("Four gases and Nothing known", "area:pit") is None


def test_language_and_direction_of_pages(site):
    _, files = site
    for path, html in files.items():
        language = path.split("/")[0] if path.startswith(("es/", "ar/")) else "en"
        turned = ' dir="rtl"' if Locale.parse(language).text_direction == "rtl" else ""
        assert f'<html lang="{language}"{turned}>' in html, path


def test_every_word_in_english_is_marked_so(site):
    """Words of more than units, signs and names that have no other form, in no other language than the page's."""
    found, files = site
    [edition] = [one for one in found.editions if one.language == "ar"]
    missing = {text for texts in edition.speech.missing.values() for text in texts}
    assert missing
    for path, html in files.items():
        if path.startswith("ar/"):
            body = html.partition("<main")[2].partition("</main>")[0]
            for text, lang, way in Texts(f'<main lang="ar" dir="rtl"{body}').found:
                if re.search(r"[a-z]{4}", text) and lang == "ar":
                    pytest.fail(f"{path}: {text!r} counts as Arabic")
                assert lang == "ar" or way == "ltr", text


LATIN_STOP = re.compile(r"[;,](?=\s|$)")
"""Arabic has U+060C and U+061B in their place (the Unicode Standard, 9.2)."""


def test_words_in_arabic_are_parted_by_arabic_marks(site):
    found, files = site
    texts = [text for path in files if path.startswith("ar/") for text in Texts(files[path]).found]
    arabic = [text for text, lang, _ in texts if lang == "ar" and text != found.program.site.name.value]
    assert any("\N{ARABIC SEMICOLON}" in text for text in arabic)
    assert [text for text in arabic if LATIN_STOP.search(text)] == []


def test_a_figure_in_arabic_keeps_its_order_in_a_sentence_in_english(site):
    """By Unicode's bidirectional algorithm (UAX 9, W2) a year after a month in Arabic letters goes with the month."""
    ways = {"rtl": 0, "ltr": 0}
    for path, html in site[1].items():
        for found in re.finditer(r'<a class="fig"([^>]*)>(.*?)</a>', html) if path.startswith("ar/") else ():
            way = "rtl" if re.search(r"[\u0600-\u06ff]", found[2]) else "ltr"
            assert f'dir="{way}"' in found[1], found[0]
            ways[way] += 1
    assert min(ways.values()) > 0


def test_what_stands_between_two_names_in_arabic_is_translated_with_its_mark():
    speech = Speech(language="ar", texts={"or": "أو"}, names=frozenset())
    [joined] = speech.run((Text("; or ", apart=True),), "p")
    assert joined.text == "\N{ARABIC SEMICOLON} أو "


def test_links_lead_to_the_same_language_where_there_is_a_page_and_are_marked_where_not(site):
    _, files = site
    for path, html in files.items():
        if path.startswith("es/"):
            for link in Texts(html).links:
                href = link["href"]
                if href.startswith("#"):
                    continue
                own = not href.startswith("../..") if path.count("/") == 2 else not href.startswith("../")
                assert own or link.get("hreflang"), (path, href)
                assert link.get("hreflang") != "en" or not own or "pdf" in href, (path, href)


def test_each_page_lists_its_languages_by_their_own_names(site):
    _, files = site
    for path in ("index.html", "es/index.html"):
        lists = files[path].partition('<nav class="languages"')[2].partition("</nav>")[0]
        named = re.findall(r'lang="(\w+)" dir="(\w+)"[^>]*>([^<]+)<', lists)
        assert [(tag, name) for tag, _, name in named] == [
            (tag, Locale.parse(tag).get_display_name(tag)) for tag in ("en", "es", "ar")
        ]
        assert {tag: way for tag, way, _ in named} == {"en": "ltr", "es": "ltr", "ar": "rtl"}
    assert '<nav class="languages"' not in files["setpoints.html"]


def test_own_names_are_those_of_cldr():
    assert {tag: one.own for tag, one in LANGUAGES.items()} == {
        tag: Locale.parse(tag).get_display_name(tag) for tag in LANGUAGES
    }


def test_days_are_written_as_the_language_has_them(site):
    found, files = site
    procedure = next(iter(found.program.procedures.values()))
    for language in ("es", "ar"):
        html = files[f"{language}/procedures/{procedure.id}.html"]
        day = "\u00a0".join(format_skeleton("yMMMd", procedure.reviewed.value, locale=language).split())
        assert day in re.sub("[\u2066\u2069]", "", html)


def test_a_site_in_english_alone_has_no_edition_and_no_list(tmp_path):
    content = site_in(tmp_path, "es", pages=False)
    found = judged_now(content)
    assert found.editions == ()
    composed = pipeline.compose(found)
    assert not any("@" in reference for reference in composed.hrefs)


def test_missing_and_unread_texts_are_told_once_a_language(site):
    found, _ = site
    for rule in ("translation-missing", "translation-unreviewed"):
        lines = [finding for finding in found.findings if finding.rule == rule and "pages in" in finding.message]
        assert len(lines) == 2
        assert all("site.yaml" in str(finding.where) for finding in lines)


@pytest.mark.parametrize("language", OTHERS)
def test_the_builders_words_of_pages_can_stand(language):
    texts = catalogue_of(language, PAGES).texts
    assert texts.keys() == catalogue_of("es", PAGES).texts.keys()
    assert [(english, said) for english, said in texts.items() if why_wrong(english, said, language)] == []
    assert not texts.keys() & catalogue_of(language).texts.keys()


RARE = {
    "{1} or less",
    "no alarm is set",
    "not known",
    "no setpoint is given",
    "no hazard is listed",
    "Levels",
    "{1}: no sensor for {2}.",
}
RARE |= {"lone worker", "too little or too much", "rescue team", "entry supervisor", "safety lead"}
"""Said of an area without alarms or hazards, of oxygen with one alarm, of roles the demo has no procedure for, and of
a figure that records took away."""


def test_no_word_of_pages_is_stale(site, judged):
    asked = {text for found in (site[0], judged) for one in found.editions for text in one.speech.asked}
    asked |= {text[:1].lower() + text[1:] for text in asked}
    assert catalogue_of("es", PAGES).texts.keys() - asked - RARE == set()


def test_a_run_goes_out_and_comes_back_in_another_order():
    nodes = (Text("See "), Link("gas:methane", (Text("methane"),)), Text(" at "), Strong((Fig("a.b"),)), Text("."))
    text, parts = message_of(nodes)
    assert text == "See <1>methane</1> at <2>{3}</2>."
    turned = run_of("<2>{3}</2>: <1>metano</1>.", parts)
    assert turned == (Strong((Fig("a.b"),)), Text(": "), Link("gas:methane", (Text("metano"),)), Text("."))
