"""Nothing in a content folder steers a terminal, turns a line around or hides in a name.

The characters are those of ISO 6429 (C0 and C1 controls) and of the Unicode Bidirectional Algorithm, UAX 9 section 2
and table 4; what Python's own copy of the Unicode Character Database calls Cc or Cf is held against ours.
"""

from __future__ import annotations

import sys
import unicodedata
from pathlib import Path

import pytest
from openpyxl import Workbook

from builder.base.unseen import unseen, visible
from builder.cli.main import run

MINIMAL = Path(__file__).parent.parent / "sites" / "minimal"
SHOWN = {0x09, 0x0A}
"""Tab and new line do what everybody expects."""
LEFT = {0xAD, *range(0x600, 0x606), 0x6DD, 0x70F, 0x890, 0x891, 0x8E2, 0x180E}
"""The soft hyphen, and signs of scripts that are drawn."""


@pytest.mark.parametrize("number", [n for n in range(0x10000) if unicodedata.category(chr(n)) in {"Cc", "Cf"}])
def test_every_control_and_format_character_is_seen_or_known(number):
    assert bool(unseen(f"a{chr(number)}b")) == (number not in SHOWN | LEFT)


def test_joiners_stand_after_letters_that_join_alone():
    assert unseen("نمی\u200cشود") == ""  # Persian, with its zero-width non-joiner
    assert unseen("क\u094d\u200dष") == ""
    assert unseen("pump\u200d-2") == "U+200D"


def test_a_terminal_is_told_code_points():
    assert visible("a\x1b[2J\x07\u202eb\tc\n") == "a<U+001B>[2J<U+0007><U+202E>b\tc\n"


@pytest.mark.parametrize(
    "hidden", ["\\e[2J", "\\x9b2J", "\\u202E", "\\u2066", "\\u200B", "\\uFEFF", "\\x7F", "\\0", "\\r"]
)
def test_a_name_with_a_hidden_character_is_refused_with_its_code_point(hidden, content, capsys):
    site = content / "site.yaml"
    lines = site.read_text(encoding="utf-8").split("\n")
    at = next(n for n, line in enumerate(lines) if line.startswith("name:"))
    lines[at] = f'name: "Works {hidden} north"'
    site.write_text("\n".join(lines), encoding="utf-8")
    assert run(["check", "--content", str(content)]) == 1
    told = capsys.readouterr().err
    assert f"site.yaml:{at + 1}: a character that is not seen as itself: U+" in told
    assert all(character == "\n" or character.isprintable() for character in told)


@pytest.mark.parametrize("hidden", ["\x1b[31m", "&#x202e;", "&rlm;", "\u2067", "`\u202e`", "[a\u202eb](gas:methane)"])
def test_prose_with_a_hidden_character_is_refused(hidden, content, capsys):
    page = content / "pages" / "home.md"
    page.write_text(page.read_text(encoding="utf-8") + f"\nWait {hidden}10 s.\n", encoding="utf-8")
    assert run(["check", "--content", str(content)]) == 1
    told = capsys.readouterr().err
    assert "pages/home.md" in told
    assert "not seen as itself: U+" in told
    assert "\x1b" not in told
    assert "\u202e" not in told


def test_tables_with_a_hidden_character_are_refused(content, capsys):
    (content / "inventory.yaml").unlink()
    (content / "inventory.csv").write_text("id,model,serial,state,pool\nu-1,two-pumped,S\u202e1,spare,store\n", "utf-8")
    assert run(["check", "--content", str(content)]) == 1
    assert "inventory.csv:2: a character that is not seen as itself: U+202E" in capsys.readouterr().err
    (content / "inventory.csv").unlink()
    book = Workbook()
    book.active.append(["id", "model", "serial", "state", "pool"])
    book.active.append(["u-1", "two-pumped", "S\u200b1", "spare", "store"])
    book.save(content / "inventory.xlsx")
    assert run(["check", "--content", str(content)]) == 1
    assert "inventory.xlsx:2: cell C2: a character that is not seen as itself: U+200B" in capsys.readouterr().err


@pytest.mark.skipif(sys.platform == "win32", reason="such a file name cannot be there")
def test_a_file_name_cannot_steer_the_terminal(content, capsys):
    (content / "bad\x1b[2J.yaml").write_text("a: b\n", encoding="utf-8")
    assert run(["check", "--content", str(content)]) == 1
    told = capsys.readouterr().err
    assert "bad<U+001B>[2J.yaml" in told
    assert "\x1b" not in told
