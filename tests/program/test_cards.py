"""Cards of every format, their holes and floors of type, and how sheets are set out."""

from __future__ import annotations

from fractions import Fraction

import pytest

from builder.render.imposition import USUAL, SheetLayout, setting_of

CARD = "cards/pit-entrant.yaml"
HEAD = "format: A7\nlanguages: [en]\n"
SIDES = """front:
  - {block: alarm-actions, channels: [oxygen, flammable, hydrogen-sulfide]}
  - {block: contacts}
back:
  - {block: corrections, gases: [propane], readings: [5 %LEL]}
  - {block: before-use, steps: [Look at the filter.]}
"""
PANELS = "panels:\n  - blocks: [{block: alarm-actions}]\n  - blocks: [{block: qr}, {block: contacts}]\n"


def folded(form="A6-folded", panels=PANELS):
    return (CARD, HEAD + SIDES, f"format: {form}\nlanguages: [en]\n{panels}")


def test_a_folded_card_has_panels_in_place_of_sides(changed, program_of):
    card = program_of(changed(folded())).cards["pit-entrant"]
    assert [[block.name for block in panel] for panel in card.panels] == [["alarm-actions"], ["qr", "contacts"]]
    assert (card.front, card.back) == ((), ())
    assert [block.name for block in card.blocks] == ["alarm-actions", "qr", "contacts"]


@pytest.mark.parametrize(
    ("change", "told_first"),
    [
        ((CARD, HEAD, "format: A6-folded\nlanguages: [en]\n"), "unknown key 'front' in card"),
        (folded("A7"), "card has no 'front'; allowed: key front"),
        (
            folded(panels=PANELS + 3 * "  - blocks: [{block: contacts}]\n"),
            "5 panels on format A6-folded; allowed: at most 4",
        ),
        (folded(panels="punch: top-left\n" + PANELS), "a hole in a folded card; allowed: punch: none"),
        ((CARD, HEAD, HEAD + "fit: shrink\n"), "fit: shrink without its floor; allowed: smallest: 7.2 pt, or the like"),
        ((CARD, HEAD, HEAD + "smallest: 7.2 pt\n"), "smallest: without fit: shrink; allowed: fit: shrink beside it"),
        ((CARD, HEAD, HEAD + "fit: shrink\nsmallest: 6 pt\n"), "'6 pt' for 'smallest'; allowed: at least 7 pt"),
        ((CARD, HEAD, HEAD + "fit: shrink\nsmallest: 7.2 mm\n"), "'7.2 mm' for 'smallest'; allowed: at least 7 pt"),
        ((CARD, HEAD, HEAD + "punch: bottom\n"), "'bottom' for 'punch'; allowed: one of none, top-left, top-centre"),
        (
            (CARD, "audience: entrant", "audience: everybody"),
            "audience everybody in format A7; allowed: audience: everybody with a format of A4, A5, Letter",
        ),
        ((CARD, "format: A7", "format: A4"), "audience entrant in format A4; allowed: audience: everybody"),
        (("site.yaml", "paper:", "published-at: http://x.example\npaper:"), "'http://x.example' for 'published-at'"),
        (
            ("site.yaml", "paper:", "published-at: https://x.example/a?b\npaper:"),
            "for 'published-at'; allowed: an https",
        ),
    ],
)
def test_what_is_wrong_is_told_with_what_is_allowed(changed, told, change, told_first):
    lines = told(changed(change))
    assert any(told_first in line for line in lines), lines


def test_a_hole_and_a_floor_of_type_are_read(changed, program_of):
    more = HEAD + "punch: top-centre\nfit: shrink\nsmallest: 7.2 pt\n"
    card = program_of(changed((CARD, HEAD, more))).cards["pit-entrant"]
    assert (card.punch, card.smallest) == ("top-centre", Fraction(36, 5))


def test_sheets_are_set_out_as_usual_without_a_file_and_as_told_with_one(changed, program_of):
    folder = changed()
    assert setting_of(program_of(folder).sheets) == USUAL == SheetLayout()
    text = "turn: short-edge\nbleed: 2 mm\ngutter: 1 cm\nlamination: 5 mm\ncopies: 3\n"
    (folder / "sheets.yaml").write_text(text, encoding="utf-8")
    made = setting_of(program_of(folder).sheets)
    assert made == SheetLayout(short_edge=True, bleed=2, gutter=10, lamination=5, copies=3)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("bleed: 4 mm\n", "sheets.yaml:1: '4 mm' for 'bleed'; allowed: 0 to 3 mm"),
        ("lamination: 2 mm\n", "sheets.yaml:1: '2 mm' for 'lamination'; allowed: 3 to 5 mm"),
        ("copies: 101\n", "sheets.yaml:1: 101 copies; allowed: 1 to 100; the printer makes more"),
        ("turn: top\n", "sheets.yaml:1: 'top' for 'turn'; allowed: one of long-edge, short-edge"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused(changed, told, text, said):
    folder = changed()
    (folder / "sheets.yaml").write_text(text, encoding="utf-8")
    assert told(folder) == [said]
