"""A translator's file: out and back, what it may not say, and what becomes of it when the English changes.

The form of such files is GNU gettext's (its manual, "The Format of PO Files"); they are read here by Babel, and what is
written in YAML by PyYAML, so that neither is held against our own reader.
"""

from __future__ import annotations

from io import BytesIO

import pytest
import yaml
from babel.messages.pofile import read_po, write_po

from tests.languages.site_in import change, handbook, judged, site_in

BY, ON = "A. Reader", "2026-11-20"
TEXT = "A reading over the range, or one that climbs and then falls back, can mean too much gas: leave."
OWN = "Fuera de rango, o sube y luego baja: puede ser demasiado gas. Salga."


@pytest.fixture
def content(tmp_path):
    return site_in(tmp_path, "es", "ar")


def written(content, language="es"):
    """The translator's file as Babel reads it."""
    assert handbook("translate", language, "--content", content, "--out", content.parent) == 0
    return read_po(BytesIO((content.parent / f"{language}.po").read_bytes()), locale=language, abort_invalid=True)


def given_back(content, catalog, language="es", by=BY, name="back.po"):
    path = content.parent / name
    with path.open("wb") as file:
        write_po(file, catalog, width=0, include_previous=True)
    return handbook("translate", language, "--content", content, "--take", path, "--by", by, "--on", ON)


def answered(catalog, text, said):
    """Put a translation into the file, as somebody who answers for it."""
    message = catalog.get(text)
    assert message is not None, text
    message.string = said
    message.flags.discard("fuzzy")


def kept(content, language="es"):
    """English -> entry of the site's file."""
    path = content / "translations" / f"{language}.yaml"
    return {one["of"]: one for one in yaml.load(path.read_text("utf-8"), Loader=yaml.CBaseLoader)["texts"]}  # noqa: S506 - "on" stays text


def rules(content):
    return [(finding.rule, finding.message) for finding in judged(content).findings if "translation" in finding.rule]


def test_every_text_of_pages_and_content_is_in_the_file_and_nothing_counts_as_read(content):
    catalog = written(content)
    texts = {message.id for message in catalog if message.id}
    found = judged(content)
    assert texts >= {text.value for text in found.program.localized}
    assert texts >= {text for edition in found.editions if edition.language == "es" for text in edition.speech.asked}
    assert [message.id for message in catalog if message.id and message.string and not message.fuzzy] == []
    sheet = (content.parent / "es.html").read_text(encoding="utf-8")
    assert sheet.partition("</table>")[0].count("<tr>") == 1 + len(texts)


def test_a_text_that_was_read_comes_back_with_name_and_day_and_is_printed(content):
    catalog = written(content)
    answered(catalog, TEXT, OWN)
    assert given_back(content, catalog) == 0
    entry = kept(content)[TEXT]
    assert (entry["says"], entry["by"], entry["on"]) == (OWN, BY, ON)
    again = written(content)
    assert (again.get(TEXT).string, again.get(TEXT).fuzzy) == (OWN, False)
    assert again.get(TEXT).user_comments == [f"read by {BY}, {ON}"]
    speech = next(one.speech for one in judged(content).editions if one.language == "es")
    assert speech.texts[TEXT] == OWN


def test_a_translators_work_is_not_written_over(content, capsys):
    """Once it was taken back, the file is written anew."""
    catalog = written(content)
    answered(catalog, TEXT, OWN)
    assert given_back(content, catalog, name="es.po", by=" ") == 2, "nobody answers for it, so nothing is taken"
    before = (content.parent / "es.po").read_bytes()
    assert handbook("translate", "es", "--content", content, "--out", content.parent) == 2
    assert "es.po holds translations that the site has not (1)" in capsys.readouterr().err
    assert (content.parent / "es.po").read_bytes() == before
    assert given_back(content, catalog, name="es.po") == 0
    assert written(content).get(TEXT).string == OWN


def test_a_file_that_comes_back_as_it_went_changes_nothing(content):
    catalog = written(content)
    answered(catalog, TEXT, OWN)
    assert given_back(content, catalog) == 0
    before = (content / "translations" / "es.yaml").read_bytes()
    assert given_back(content, written(content), by="B. Other") == 0
    assert (content / "translations" / "es.yaml").read_bytes() == before


@pytest.mark.parametrize(
    ("language", "english", "said", "told"),
    [
        ("es", "{1} or more", "o más", "figures and marks"),
        ("es", "{1} or more", "{1} o más {2}", "figures and marks"),
        ("es", "Compare with <1>the windows</1>.", "Compare con </1>las ventanas<1>.", "enclose"),
        ("es", "2nd alarm", "3.ª alarma", "numbers"),
        ("ar", "2nd alarm", "الإنذار ٢", "same digits"),
        ("es", TEXT, "Uma leitura não é segurança", "not of Spanish"),
        ("es", TEXT, "اخرج", "not of Spanish"),
        ("ar", TEXT, "Salga ya", "not of Arabic"),
        ("es", TEXT, "Salga\u202eya", "nobody sees"),
    ],
)
def test_what_cannot_stand_is_refused_with_its_line_and_nothing_is_taken(
    content, capsys, language, english, said, told
):
    catalog = written(content, language)
    answered(catalog, english, said)
    if english != TEXT and language == "es":
        answered(catalog, TEXT, OWN)
    assert given_back(content, catalog, language) == 1
    lines = (content.parent / "back.po").read_text(encoding="utf-8").splitlines()
    at = next(number for number, line in enumerate(lines, start=1) if line.startswith("msgid") and english in line)
    told_lines = capsys.readouterr().err
    assert f"back.po:{at}" in told_lines
    assert told in told_lines
    assert not (content / "translations").exists()


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"\xff\xfe", "UTF-8"),
        (b'msgid a\nmsgstr "b"\n', "back.po"),
        (b'msgid ""\nmsgstr "Language: de\\n"\n\nmsgid "a"\nmsgstr "b"\n', "de"),
    ],
)
def test_a_file_of_another_form_or_language_is_refused(content, capsys, data, told):
    path = content.parent / "back.po"
    path.write_bytes(data)
    assert handbook("translate", "es", "--content", content, "--take", path, "--by", BY) == 1
    assert told in capsys.readouterr().err
    assert not (content / "translations").exists()


def test_a_changed_english_text_keeps_its_translation_to_look_at_and_loses_its_review(content):
    """GNU gettext: a fuzzy entry shows the former text after ``#|``."""
    text, now, said = (
        f"{words} <1>{these}</1>."
        for words, these in (
            ("Compare with", "the windows"),
            ("Compare it with", "the windows"),
            ("Compare con", "las ventanas"),
        )
    )
    catalog = written(content)
    answered(catalog, text, said)
    assert given_back(content, catalog) == 0
    assert kept(content)[text]["by"] == BY
    change(content / "procedures" / "bump-test.md", "Compare with", "Compare it with")
    told = [message for rule, message in rules(content) if rule == "translation-stale"]
    assert [message for message in told if text in message and now in message]
    message = written(content).get(now)
    assert (message.string, message.fuzzy) == (said, True)
    assert f'#| msgid "{text}"\n' in (content.parent / "es.po").read_text(encoding="utf-8")
    speech = next(one.speech for one in judged(content).editions if one.language == "es")
    assert now not in speech.texts


def test_what_the_site_does_not_print_is_kept_and_told(content, capsys):
    catalog = written(content)
    catalog.add("A text of another site", "Un texto de otra parte")
    assert given_back(content, catalog) == 0
    assert "A text of another site" in capsys.readouterr().out
    assert "A text of another site" in kept(content)
    assert given_back(content, written(content)) == 0
    assert "A text of another site" in kept(content)


def test_a_translation_cannot_become_anything_but_a_text(content):
    """YAML 1.2.2: a double-quoted scalar ends at its quote alone; HTML: text is escaped."""
    said = 'Salga" # <b>ya</b>\n  - of: "x"\nby: &a [*a] \\'
    catalog = written(content)
    answered(catalog, TEXT, said)
    assert given_back(content, catalog, by='N": {x}\n- y') == 0
    entry = kept(content)[TEXT]
    assert (entry["says"], entry["by"]) == (said, 'N": {x}\n- y')
    assert handbook("translate", "es", "--content", content, "--out", content.parent) == 0
    sheet = (content.parent / "es.html").read_text(encoding="utf-8")
    assert "<b>" not in sheet
    assert "&lt;b&gt;ya&lt;/b&gt;" in sheet


def test_what_is_the_same_on_every_card_cannot_be_changed_by_one_site(content, capsys):
    catalog = written(content)
    answered(catalog, "Invented demonstration data: not for use at any place of work.", "Datos de prueba.")
    assert given_back(content, catalog) == 1
    assert "the builder says on every card" in capsys.readouterr().err


def test_an_unknown_language_and_half_an_order_are_wrong_usage(content):
    assert handbook("translate", "de", "--content", content) == 2
    assert handbook("translate", "es", "--content", content, "--by", BY) == 2


def test_two_texts_for_one_are_told(content):
    name = next(iter(judged(content).program.areas.values())).name
    change(content / "areas.yaml", f"name: {name}", f"name: {{en: {name}, es: Foso viejo}}")
    catalog = written(content)
    answered(catalog, name, "Foso nuevo")
    assert given_back(content, catalog) == 0
    assert "translation-twice" in [rule for rule, _ in rules(content)]
