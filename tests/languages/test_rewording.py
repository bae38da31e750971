"""What the builder says on cards, said otherwise by a site: printed, told where sense may be lost, by one door."""

import html

import pytest
import yaml

from builder.base.errors import ContentError
from builder.pages.plain import Words
from builder.pages.wording import Wording, in_context
from tests.languages.site_in import change, handbook, judged, site_in

FIRST, SECOND = "1st alarm", "2nd alarm"


@pytest.fixture
def content(tmp_path):
    made = site_in(tmp_path, "es", pages=False)
    card = made / "cards" / "pit-entrant.yaml"
    change(card, "languages: [en]", "languages: [en, es]")
    return made


def says(content, language, **texts):
    folder = content / "translations"
    folder.mkdir(exist_ok=True)
    entries = [{"of": of, "says": said} for of, said in texts.items()]
    (folder / f"{language}.yaml").write_text(yaml.safe_dump({"texts": entries}, allow_unicode=True), encoding="utf-8")


def printed(judgement, language):
    """The lines of every card in a language."""
    words = Words(judgement.ledger.figures)
    cards = [card for card in judgement.papers.cards.papers if card.language == language]
    assert cards
    return "\n".join(
        line for card in cards for side in card.sides for block in side.blocks for line in words.lines(block.blocks)
    )


def told(judgement):
    return {(one.rule, one.severity.value) for one in judgement.findings if one.rule.startswith(("wording", "transl"))}


def test_a_site_s_own_words_are_printed_in_place_of_the_builder_s(content):
    before = printed(judged(content), "en")
    assert FIRST in before
    says(content, "en", **{FIRST: "alarm A1"})
    found = judged(content)
    assert "alarm A1" in printed(found, "en")
    assert FIRST not in printed(found, "en")
    missing = [one.message for one in found.findings if one.rule == "translation-missing"]
    assert any(FIRST in message and "Spanish" in message for message in missing)


def test_a_new_wording_in_the_other_language_settles_it(content):
    says(content, "en", **{FIRST: "alarm A1"})
    says(content, "es", **{FIRST: "alarma A1"})
    found = judged(content)
    assert "alarma A1" in printed(found, "es")
    assert not [one for one in found.findings if one.rule == "translation-missing" and FIRST in one.message]


@pytest.mark.parametrize(
    ("texts", "wanted"),
    [
        ({"too much": "Too little"}, ("wording-misleads", "stop")),
        ({"You are told to.": "On demand."}, None),
        ({"Never go in.": "Wait at the opening."}, ("wording-misleads", "warn")),
        ({"Never go in.": "Do not go in."}, None),
        ({"DRAFT": "SKETCH"}, ("wording-misleads", "stop")),
        ({"What nobody says": "What nobody prints"}, ("translation-stale", "warn")),
    ],
)
def test_words_that_mislead_are_told(content, texts, wanted):
    before = told(judged(content))
    says(content, "en", **texts)
    after = told(judged(content)) - before - {("translation-missing", "warn")}
    assert after == ({wanted} if wanted else set())


@pytest.mark.parametrize(("of", "said"), [(FIRST, "low alarm"), ("less than {value}", "below"), (SECOND, "A1")])
def test_a_wording_keeps_numbers_and_places(content, of, said):
    says(content, "en", **{of: said})
    with pytest.raises(ContentError, match="cannot stand"):
        judged(content)


def test_rewording_goes_by_the_door_of_translations(content, tmp_path):
    assert handbook("translate", "en", "--content", content, "--out", tmp_path) == 0
    path = tmp_path / "en.po"
    change(path, f'msgid "{FIRST}"\nmsgstr ""', f'msgid "{FIRST}"\nmsgstr "alarm A1"')
    assert (
        handbook("translate", "en", "--content", content, "--take", path, "--by", "A. Lead", "--on", "2026-11-20") == 0
    )
    assert "alarm A1" in printed(judged(content), "en")


def test_the_sheet_of_a_translator_has_each_card_beside_its_texts(content, tmp_path):
    assert handbook("translate", "es", "--content", content, "--out", tmp_path) == 0
    sheet = (tmp_path / "es.html").read_text(encoding="utf-8")
    cards = [card for card in judged(content).papers.cards.papers if card.language == "es"]
    assert [f"<h2>{card.id}</h2>" in sheet for card in cards] == [True] * len(cards)
    assert sheet.count("<iframe") == len(cards) == 1
    picture = html.unescape(sheet.partition('srcdoc="')[2].partition('" style=')[0])
    assert "1.ª alarma" in picture
    beside = sheet.partition("</iframe>")[2]
    assert "<td>1st alarm</td>" in beside


def test_the_head_of_a_block_is_no_title_of_a_page_though_both_are_called_the_same():
    """The demo's procedure has the title "Lone-worker alarm", which its translation says at length."""
    title = "Lone-worker alarm"
    own = {title: "Aparato de trabajo en solitario y sus alarmas"}
    head = in_context("head of a block", title)
    assert Wording(language="es", own=own).text(title) == own[title]
    assert Wording(language="es", own=own).text(head) == "Alarma de trabajo en solitario"
    assert Wording(language="en", own=own).text(head) == title
