"""What the page of cards says of who checked the translations: an auditor's question."""

from __future__ import annotations

import shutil

import pytest

from builder.figures.compute import compute
from builder.pages.wording import texts_code
from tests.pages.conftest import AS_OF, SITES, composed, read_site

HEAD = ("Language", "Checked by", "On", "Holds")


@pytest.fixture
def shown(tmp_path, nodes):
    """Rows of the table on the smallest site with a card in Spanish; ``checked`` goes to site.yaml."""

    def make(checked="", spoken="[en, es]"):
        folder = tmp_path / "site"
        shutil.rmtree(folder, ignore_errors=True)
        shutil.copytree(SITES / "minimal", folder)
        for name, old, new in (
            ("cards/pit-entrant.yaml", "languages: [en]", f"languages: {spoken}"),
            ("site.yaml", "languages: [en]", "languages: [en, es, de]"),
            ("site.yaml", "paper: ", f"{checked}paper: "),
        ):
            text = (folder / name).read_text(encoding="utf-8")
            if old not in text:
                assert name == "site.yaml", name
                continue
            (folder / name).write_text(text.replace(old, new), encoding="utf-8")
        program = read_site(folder)
        page = composed(program, compute(program, AS_OF).ledger).page("page:cards")
        tables = [node for node in nodes(page.blocks) if getattr(node, "columns", None) == HEAD]
        return [
            tuple("".join(getattr(node, "text", getattr(node, "reason", "")) for node in nodes(cell)) for cell in row)
            for table in tables
            for row in table.rows
        ]

    return make


def told(by="A. Person", on="2026-11-01", texts=None):
    return f"translations-checked: {{es: {{by: {by}, on: {on}, texts: {texts or texts_code('es')}}}}}\n"


def test_a_language_nobody_checked_says_so_and_one_on_no_card_is_not_listed(shown):
    assert [row[:2] + row[3:] for row in shown()] == [("Spanish", "not checked by anybody yet", "no")]


def test_name_and_day_of_the_check(shown):
    assert shown(told()) == [("Spanish", "A. Person", "1\u00a0Nov\u00a02026", "yes")]


@pytest.mark.parametrize("told_wrong", [told(on="2026-11-26"), told(texts="ES-2345ABC")])
def test_a_check_to_come_or_of_other_texts_does_not_hold(shown, told_wrong):
    [row] = shown(told_wrong)
    assert row[1] == "A. Person"
    assert row[3].startswith("no: ")


def test_without_translations_there_is_no_table(shown):
    assert shown(spoken="[en]") == []
