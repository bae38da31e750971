"""Which part of a line stands over the carets. Expected texts are written by hand from the lines themselves."""

from __future__ import annotations

from builder.base.errors import Problem
from builder.base.where import Where
from builder.load.excerpt import excerpt, excerpts
from tests.each import each


@each(
    ("line", "column", "found", "meant"),
    [
        ("  colour: red\n", 3, "unknown key 'colour' in area", "colour"),
        ("  low: {set: 5 ppn}\n", 13, "'set': unknown unit 'ppn'", "ppn"),
        ("    serial: '0042 '\n", 13, "serial '0042 ' with a blank at its end", "0042 "),
        ("- {id: a, model: b}\n", 3, "unit has no 'serial'", "{id"),
        ("u-1,bump,2026-11-25,pas,\n", 0, "'pas' for 'result'", "pas"),
        ("5,5,5\n", 0, "'5' for 'result'", ""),
        ("day: 2026-02-30\n", 6, "'2026-02-30' for 'day'", "2026-02-30"),
        ("\tname: x\n", 1, "a tab before the text", ""),
        ("kind: [bump\n", 7, "a list or mapping that is begun and not closed", "[bump"),
        ("α: β\n", 4, "'β' for 'α'", "β"),
        ("a: a\n", 4, "'a' for 'a'", "a"),
    ],
)
def test_what_is_meant_stands_over_the_carets(line, column, found, meant):
    shown = excerpt(line, column, found)
    assert shown.text[shown.start : shown.start + shown.length] == meant
    assert shown.caret == (" " * shown.start + "^" * len(meant) if meant else "")


def test_a_value_like_its_key_is_the_one_at_the_column():
    assert excerpt("a: a", 4, "'a' for 'a'").start == 3


def test_of_a_long_line_the_part_with_the_fault_is_shown():
    shown = excerpt("x" * 500 + " ppn " + "y" * 500, 502, "unknown unit 'ppn'")
    assert len(shown.text) == 160
    assert shown.text[shown.start : shown.start + shown.length] == "ppn"


def test_lines_are_those_of_the_file_and_of_no_other(tmp_path):
    (tmp_path / "content").mkdir()
    (tmp_path / "content" / "a.yaml").write_text("one: 1\ntwo: 2\n", encoding="utf-8")
    (tmp_path / "b.yaml").write_text("secret\n", encoding="utf-8")
    second, beyond, outside = (
        Problem(Where(file, line, 1), "'x'") for file, line in (("a.yaml", 2), ("a.yaml", 9), ("../b.yaml", 1))
    )
    shown = excerpts(tmp_path / "content", (second, beyond, outside))
    assert {problem: part.text for problem, part in shown.items()} == {second: "two: 2"}
