"""What is read, and that each value knows its line."""

from __future__ import annotations

import tracemalloc

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.base.where import Where
from builder.load.csv_lines import csv_file, csv_rows
from builder.load.encoding import UTF_8, odd_byte
from builder.load.markdown import read_document, readable_prose
from builder.load.nodes import Items, Scalar, kind_of
from builder.load.yaml_lines import readable_yaml
from tests.each import each


def read_yaml(text, file, **options):
    node, problems = readable_yaml(text, file, **options)
    assert problems == ()
    return node


def read_prose(text):
    nodes, problems = readable_prose(text, Where("f.md", 1))
    assert problems == ()
    return nodes


def scalars(node):
    """Every text of a tree with its line, in reading order; of keys too."""
    if isinstance(node, Scalar):
        return [(node.text, node.where.line)]
    if isinstance(node, Items):
        return [found for item in node.items for found in scalars(item)]
    return [found for key, value in node.entries for found in [*scalars(key), *scalars(value)]]


def lines(text, **options):
    return scalars(read_yaml(text, "f.yaml", **options))


def test_every_yaml_value_knows_its_line():
    text = "# remark\na: 1\nb:\n  - x\n  - {c: y,\n     d: z}\n\ne: >-\n  folded\n  text\nf: 'q'\ng:\n"
    assert lines(text) == [
        ("a", 2), ("1", 2), ("b", 3), ("x", 4), ("c", 5), ("y", 5), ("d", 6), ("z", 6),
        ("e", 8), ("folded text", 8), ("f", 11), ("q", 11), ("g", 12), ("", 12),
    ]  # fmt: skip


def test_lines_of_a_part_start_where_the_part_starts():
    assert lines("a: 1\nb: 2", first_line=10) == [("a", 10), ("1", 10), ("b", 11), ("2", 11)]


@given(st.lists(st.tuples(st.sampled_from("abcd"), st.integers(0, 3)), min_size=1, max_size=20))
def test_lines_are_right_whatever_stands_between(entries):
    text, expect = "", []
    for n, (name, blank) in enumerate(entries):
        text += "\n" * blank + f"- {name}{n}\n"
        expect.append((f"{name}{n}", text.count("\n")))
    assert lines(text) == expect


def test_scalars_stay_what_the_author_wrote():
    text = "- no\n- 1.10\n- 2026-11-25\n- 0x1F\n- ~\n- 012\n- !!int '7'\n- !!python/object:os.system x\n"
    assert [found for found, _ in lines(text)] == ["no", "1.10", "2026-11-25", "0x1F", "~", "012", "7", "x"]


@pytest.mark.parametrize(
    "text", ['"Tank #2"  #2 of them', "Tank#2", "Tank  # 2 of them", "|\n  Tank #2", "Tank #sound"]
)
def test_a_comment_that_cuts_no_number_off_is_one(text):
    assert readable_yaml(f"name: {text}\n", "a.yaml")[1] == ()


def test_nothing_and_an_empty_text_differ():
    empty, quoted = (node for _, node in read_yaml("a:\nb: ''\n", "f.yaml").entries)
    assert (empty.empty, quoted.empty) == (True, False)
    assert (kind_of(empty), kind_of(quoted)) == ("nothing", "text ''")


def test_an_alias_repeats_its_node_at_the_line_of_the_anchor():
    assert lines("a: &x {b: 1}\nc: *x\n") == [("a", 1), ("b", 1), ("1", 1), ("c", 2), ("b", 1), ("1", 1)]


@pytest.mark.parametrize("text", ["", "\n\n", "# only a remark\n"])
def test_a_file_of_nothing_is_nothing(text):
    assert read_yaml(text, "f.yaml") is None


UNIT = (
    '  - id: d-{n:04}\n    model: three-pumped\n    serial: "T3-{n:04}"\n    state: in-use\n    area: pit\n'
    "    last: {{bump: 2026-11-24, calibration: 2026-08-31}}\n"
)  # fmt: skip


def test_units_take_little_memory():
    text = "units:\n" + "".join(UNIT.format(n=n) for n in range(500))
    tracemalloc.start()
    try:
        node = read_yaml(text, "inventory.yaml")
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert len(node.get("units").items) == 500
    assert scalars(node)[-1] == ("2026-08-31", 3_001)
    assert peak < 25_000_000  # bytes; the file has about 75 000


# ---- tables ------------------------------------------------------------


def table(text):
    """Heads and rows of a CSV text."""
    rows = csv_rows(text.splitlines(keepends=True), "f.csv")
    return list(rows.head), list(rows.body), [str(problem) for problem in rows.faults.problems()]


def test_csv_rows_know_their_line_and_empty_rows_are_left_out():
    text = 'id, model ,"a\n  note"\na,b,\n\n,,\nc,"d, ""e""","two\nlines"\nf,g,h\n'
    assert table(text) == (
        ["id", "model", "a note"],
        [(3, ["a", "b", ""]), (6, ["c", 'd, "e"', "two\nlines"]), (8, ["f", "g", "h"])],
        [],
    )


def test_csv_of_heads_alone_has_no_rows():
    assert table("id,model\n") == (["id", "model"], [], [])


def test_semicolons_part_the_columns_where_the_heads_have_more_of_them():
    assert table("id;a, b;c\n1;2,5;x\n") == (["id", "a, b", "c"], [(2, ["1", "2,5", "x"])], [])
    assert table("id,a;b,c\n1,2;5,x\n") == (["id", "a;b", "c"], [(2, ["1", "2;5", "x"])], [])


def test_columns_without_head_are_left_out_and_may_hold_nothing():
    assert table("id,,b,\n1,,2,\n3,x,4,\n") == (
        ["id", "b"],
        [(2, ["1", "2"]), (3, ["3", "4"])],
        ["f.csv:3: 'x' in column 2, which has no head; allowed: a head above each value"],
    )


def test_fifty_faulty_rows_are_named_and_the_rest_counted():
    _, rows, told = table("id,model\n" + "a\n" * 120 + "b,c\n")
    assert rows == [(122, ["b", "c"])]
    assert len(told) == 51
    assert told[49] == "f.csv:51: 1 cell; allowed: 2 cells, one a column head"
    assert told[50] == "f.csv:121: and 70 more faults in lines up to this one; allowed: the first 50 are listed"


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r"])
def test_tables_of_other_systems_are_read_alike(mark, end, tmp_path):
    path = tmp_path / "f.csv"
    path.write_bytes(mark + end.join([b"id,note", b'a,"x', b'y"', b"b,\xc2\xb0", b""]))
    rows = csv_file(path, "f.csv")
    inner = end.decode()
    assert (rows.head, list(rows.body)) == (("id", "note"), [(2, ["a", f"x{inner}y"]), (4, ["b", "°"])])


def test_a_byte_that_is_not_utf8_has_its_row(tmp_path):
    path = tmp_path / "f.csv"
    path.write_bytes(b"id,note\na,b\nc,\xb0\nd,\0\n")
    rows = csv_file(path, "f.csv")
    assert len(list(rows.body)) == 3
    assert [str(problem) for problem in rows.faults.problems()] == [
        f"f.csv:3: {odd_byte(0xB0)}; allowed: {UTF_8}",
        f"f.csv:4: a character that no text has: U+0000; allowed: {UTF_8}",
    ]


def test_a_long_table_is_read_in_little_memory(tmp_path):
    path = tmp_path / "f.csv"
    with path.open("w", encoding="utf-8") as file:
        file.write("unit,time,kind\n")
        file.writelines(f"d-{n:05},2026-11-24T06:40-07:00,bump-test\n" for n in range(40_000))
    tracemalloc.start()
    try:
        count = sum(1 for _ in csv_file(path, "f.csv").body)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert count == 40_000
    assert peak < 400_000  # bytes; the file has about 1 600 000


# ---- prose -------------------------------------------------------------

PROSE = """\
---
id: a
---
## Head *with* stress

First line
second **bold
over** two \\
hard

3. three
4. four

   more of four
   - inner

| a | b |
|---|---|
| c | `d` |
| [e](gas:methane) | |
"""


def outline(node, depth=0):
    """A node as lines: depth, kind, line, text or level."""
    own = f"{'  ' * depth}{node.kind} {node.where.line}" + (f" {node.text!r}" if node.text else "")
    own += f" level {node.level}" if node.level else ""
    return [own, *(line for child in node.children for line in outline(child, depth + 1))]


def test_prose_becomes_a_tree_that_knows_its_lines():
    document = read_document(PROSE, "f.md")
    assert document.front.get("id").where == Where("f.md", 2)
    assert [line for node in document.body for line in outline(node)] == [
        "heading 4 level 2",
        "  text 4 'Head '",
        "  em 4",
        "    text 4 'with'",
        "  text 4 ' stress'",
        "paragraph 6",
        "  text 6 'First line'",
        "  text 6 ' '",
        "  text 7 'second '",
        "  strong 7",
        "    text 7 'bold'",
        "    text 7 ' '",
        "    text 8 'over'",
        "  text 8 ' two '",
        "  break 8",
        "  text 9 'hard'",
        "ordered_list 11 level 3",
        "  list_item 11",
        "    paragraph 11",
        "      text 11 'three'",
        "  list_item 12",
        "    paragraph 12",
        "      text 12 'four'",
        "    paragraph 14",
        "      text 14 'more of four'",
        "    bullet_list 15",
        "      list_item 15",
        "        paragraph 15",
        "          text 15 'inner'",
        "table 17",
        "  tr 17",
        "    cell 17",
        "      text 17 'a'",
        "    cell 17",
        "      text 17 'b'",
        "  tr 19",
        "    cell 19",
        "      text 19 'c'",
        "    cell 19",
        "      code 19 'd'",
        "  tr 20",
        "    cell 20",
        "      link 20 'gas:methane'",
        "        text 20 'e'",
        "    cell 20",
    ]


@each("text", ["a < b", "5 <6", "x <= y", "a > b", "1 < 2 & 3"])
def test_signs_of_comparison_are_text(text):
    (paragraph,) = read_prose(text)
    assert "".join(node.text for node in paragraph.children) == text


def test_entities_are_read_as_the_character_they_name():
    (paragraph,) = read_prose("a &lt;b&gt; &amp; c")
    assert [node.text for node in paragraph.children] == ["a <b> & c"]


def test_lists_within_lists_are_read_as_deep_as_allowed():
    text = "".join("  " * n + f"- level {n + 1}\n" for n in range(8))
    assert outline(read_prose(text)[0])[-1].strip() == "text 8 'level 8'"
