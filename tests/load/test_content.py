"""A content folder: which files it has, and what is said of those it should not have."""

from __future__ import annotations

import pytest

from builder.base.errors import ContentError
from builder.load.content import BIGGEST, load_content
from builder.load.listing import DRAWINGS, INVENTORIES, OPTIONAL, REQUIRED

KNOWN = ", ".join([*REQUIRED, *INVENTORIES, *OPTIONAL, *DRAWINGS])


@pytest.fixture
def folder(tmp_path):
    root = tmp_path / "content"
    root.mkdir()
    for name in (*REQUIRED, "inventory.yaml"):
        (root / name).write_text("a: 1\n", encoding="utf-8")
    return root


def told(root):
    return [str(problem) for problem in sorted(load_content(root)[1])]


def test_a_whole_folder_is_read(folder):
    for name in ("cards/b.yaml", "cards/a.yaml", "revisions/1.yaml"):
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text("a: 1\n", encoding="utf-8")
    (folder / "pages").mkdir()
    (folder / "pages/home.md").write_text("---\nid: home\n---\ntext\n", encoding="utf-8")
    documents, problems = load_content(folder)
    assert problems == ()
    assert set(documents.structured) == {
        *REQUIRED, "inventory.yaml", "cards/a.yaml", "cards/b.yaml", "revisions/1.yaml"
    }  # fmt: skip
    assert list(documents.folder("cards")) == ["cards/a.yaml", "cards/b.yaml"]
    assert [document.file for document in documents.documents("pages")] == ["pages/home.md"]


def test_hidden_files_and_readmes_are_passed_over(folder):
    (folder / "README.md").write_text("no front matter", encoding="utf-8")
    (folder / ".DS_Store").write_bytes(b"\xff")
    (folder / "pages").mkdir()
    (folder / "pages/readme.md").write_text("no front matter", encoding="utf-8")
    (folder / "pages/.keep").write_bytes(b"")
    assert told(folder) == []


@pytest.mark.parametrize(
    ("name", "close"),
    [
        ("setpoint.yaml", "; nearest: setpoints.yaml"),
        ("Site.YAML", "; nearest: site.yaml"),
        ("x.doc", ""),
    ],
)
def test_an_unknown_file_is_named_with_the_nearest(name, close, folder):
    (folder / name).write_text("a: 1\n", encoding="utf-8")
    (line,) = told(folder)
    assert line.startswith(f"{name}:1: a file the builder does not know; allowed: {KNOWN}{close}")
    assert close or "nearest" not in line


def test_an_unknown_folder_is_named_with_the_nearest(folder):
    (folder / "procedure").mkdir()
    (folder / "procedure/a.md").write_text("x", encoding="utf-8")
    allowed = "procedures, pages, cards, revisions, records, readback, movements, station-log, lists, templates"
    allowed += ", translations; nearest: procedures"
    assert told(folder) == [f"procedure:1: a folder the builder does not know; allowed: {allowed}"]


def test_a_folder_refuses_files_of_another_kind_and_folders(folder):
    (folder / "cards/more").mkdir(parents=True)
    (folder / "cards/a.yml").write_text("a: 1\n", encoding="utf-8")
    assert told(folder) == [
        "cards/a.yml:1: a file the builder does not know; allowed: files ending in .yaml",
        "cards/more:1: a file the builder does not know; allowed: files ending in .yaml",
    ]


def test_every_missing_file_is_named(folder):
    for path in folder.iterdir():
        path.unlink()
    expect = [f"{name}:1: missing; allowed: this file in every content folder" for name in REQUIRED]
    expect.append("inventory.yaml:1: missing; allowed: exactly one of " + ", ".join(INVENTORIES))
    assert told(folder) == sorted(expect)


@pytest.mark.parametrize("name", ["areas.yml", "Areas.YAML", "areas.yaml.txt"])
def test_a_file_by_another_ending_is_told_once_with_the_name_it_should_have(folder, name):
    (folder / "areas.yaml").rename(folder / name)
    [problem] = load_content(folder)[1]
    assert (problem.where.file, problem.nearest) == (name, ("areas.yaml",))


def test_a_dash_that_is_missing_in_a_list_is_told_once(folder):
    text = "areas:\n  - id: a\n    name: A\n    id: b\n    name: B\n"
    (folder / "areas.yaml").write_text(text, encoding="utf-8")
    [told_once] = told(folder)
    assert told_once.startswith("areas.yaml:4: key 'id' stands twice (first on line 2)")
    assert told_once.endswith("in a list a dash before it, as in '- id:'")


def test_both_inventories_are_refused(folder):
    (folder / "inventory.csv").write_text("id\na\n", encoding="utf-8")
    found = "inventory.csv beside it"
    allowed = "exactly one of inventory.yaml, inventory.csv, inventory.tsv, inventory.xlsx"
    assert told(folder) == [f"inventory.yaml:1: {found}; allowed: {allowed}"]


def test_tables_are_known_but_not_yet_read(folder):
    (folder / "inventory.yaml").unlink()
    (folder / "inventory.xlsx").write_bytes(b"no workbook")
    (folder / "~$inventory.xlsx").write_bytes(b"the mark of an open workbook")
    (folder / "areas.yaml~").write_bytes(b"what an editor kept of an earlier state")
    for name in ("records/b.csv", "records/a.csv", "readback/a.csv"):
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text("a\n", encoding="utf-8")
    documents, problems = load_content(folder)
    assert problems == ()
    assert set(documents.tables) == {"inventory.xlsx", "records/a.csv", "records/b.csv", "readback/a.csv"}
    assert [table.file for table in documents.tables_in("records")] == ["records/a.csv", "records/b.csv"]


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize(
    ("file", "first"), [("gases.yaml", ""), ("procedures/a.md", "---\nid: a\n---\n"), ("cards/a.yaml", "id: a\n")]
)
def test_two_versions_of_a_merge_are_never_read_as_one(file, first, end, folder):
    """The lines that git-merge writes; whoever takes one of them away is told of the next."""
    marks = [f"{'<' * 7} HEAD", "=" * 7, f"{'>' * 7} theirs"]
    path = folder / file
    path.parent.mkdir(exist_ok=True)
    for n, mark in enumerate(marks):
        lines = [*first.splitlines(), mark, "1. Open the valve.", *marks[n + 1 :]]
        path.write_bytes(end.join(lines).encode())
        allowed = "one of the two versions, and none of the lines of this kind"
        where = f"{file}:{len(first.splitlines()) + 1}"
        assert told(folder) == [f"{where}: {mark!r} of a merge; allowed: {allowed}"]


def test_a_table_too_big_is_refused(folder, monkeypatch):
    monkeypatch.setattr("builder.load.content.BIGGEST_TABLE", 3)
    (folder / "records").mkdir()
    (folder / "records/a.csv").write_text("unit", encoding="utf-8")
    assert told(folder) == ["records/a.csv:1: 4 bytes; allowed: at most 3 bytes"]


def test_an_empty_file_is_named(folder):
    (folder / "gases.yaml").write_text("# nothing yet\n", encoding="utf-8")
    assert told(folder) == ["gases.yaml:1: the file is empty; allowed: see docs/content.md"]


def test_no_folder_at_all(tmp_path):
    with pytest.raises(ContentError) as caught:
        load_content(tmp_path / "contents")
    assert str(caught.value) == ".:1: no such folder; allowed: a content folder (see docs/content.md)"


@pytest.mark.parametrize(
    ("data", "line", "found"),
    [
        (b"a: 1\nb: \xb0C\n", 2, "a byte that is not UTF-8 (0xb0), as in text saved as ANSI or Windows-1252"),
        (
            b"\xef\xbb\xbfa: 1\nb: \xb0C\n",
            2,
            "a byte that is not UTF-8 (0xb0), as in text saved as ANSI or Windows-1252",
        ),
        (b"\xef\xbb\xbf\xb0", 1, "a byte that is not UTF-8 (0xb0), as in text saved as ANSI or Windows-1252"),
        (b"\xff\xfea\x00:\x00", 1, "text saved as UTF-16, which some editors call Unicode"),
        (b"a: 1\r\nb: 2\r\n\xc3", 3, "a byte that is not UTF-8 (0xc3), as in text saved as ANSI or Windows-1252"),
    ],
)
def test_a_byte_that_is_not_utf8_has_its_line(data, line, found, folder):
    (folder / "gases.yaml").write_bytes(data)
    assert told(folder) == [f"gases.yaml:{line}: {found}; allowed: text saved as UTF-8"]


def test_a_link_that_leads_out_is_not_followed(folder, tmp_path):
    """Else a line of whatever it leads to would be printed as content."""
    secret = tmp_path / "secret.txt"
    secret.write_text("not content", encoding="utf-8")
    (folder / "records").mkdir(exist_ok=True)
    (folder / "records" / "a.csv").symlink_to(secret)
    (folder / "records" / "b.csv").symlink_to(folder / "records" / "b.csv")
    (folder / "readback").symlink_to(tmp_path, target_is_directory=True)
    (folder / "people.yaml").symlink_to(folder / "areas.yaml")  # within the folder
    found = "a link that leads out of the content folder; allowed: the file itself"
    names = ("readback", "records/a.csv", "records/b.csv")
    assert [line for line in told(folder) if "link" in line] == [f"{name}:1: {found}" for name in names]


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r"])
def test_marks_and_line_ends_of_other_systems_change_nothing(mark, end, folder):
    (folder / "gases.yaml").write_bytes(mark + end.join([b"a: 1", b"b: |", b"  x", b"  y", b""]))
    (folder / "pages").mkdir()
    (folder / "pages/home.md").write_bytes(mark + end.join([b"---", b"id: home", b"---", b"one", b"", b"two"]))
    documents, problems = load_content(folder)
    assert problems == ()
    node = documents.structured["gases.yaml"]
    assert [(key.text, value.text, value.where.line) for key, value in node.entries] == [
        ("a", "1", 1),
        ("b", "x\ny\n", 2),
    ]
    assert [node.where.line for node in documents.prose["pages/home.md"].body] == [4, 6]


def test_a_file_too_big_is_not_parsed(folder):
    with (folder / "gases.yaml").open("wb") as file:
        file.truncate(BIGGEST + 1)
    assert told(folder) == [f"gases.yaml:1: {BIGGEST + 1} bytes; allowed: at most {BIGGEST} bytes"]


def test_faults_of_several_files_are_collected(folder):
    (folder / "areas.yaml").write_text("a: [\n", encoding="utf-8")
    (folder / "gases.yaml").write_text("a: 1\na: 2\n", encoding="utf-8")
    (folder / "pages").mkdir()
    (folder / "pages/home.md").write_text("text", encoding="utf-8")
    assert told(folder) == [
        (
            "areas.yaml:2: a list or mapping that is begun and not closed; allowed: [a, b] or {key: value}, or lines "
            "below that begin with '- '"
        ),
        "gases.yaml:2: key 'a' stands twice (first on line 1); allowed: each key once",
        "pages/home.md:1: no front matter; allowed: front matter: a line ---, keys, a line ---",
    ]
