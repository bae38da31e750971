"""Content that extends other content: what holds, where it came from, and what is refused with its line."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from builder.base.errors import ContentError
from builder.load.content import load_content
from builder.load.extended import content_folders, refuse_kept
from builder.load.nodes import Entries, Items, Scalar
from builder.program.read import read_program
from builder.reference.library import library

SITES = Path(__file__).parent.parent / "sites" / "overlay"


@pytest.fixture
def sites(tmp_path):
    folder = tmp_path / "sites"
    shutil.copytree(SITES, folder)
    return folder


def put(path, text):
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def read(root):
    documents, problems = load_content(root)
    assert problems == ()
    return documents


def told(root):
    return [str(problem) for problem in sorted(load_content(root)[1])]


def named(entries):
    return [part.text for _, part in entries.entries[:2] if isinstance(part, Scalar)]


def at(node, *path):
    """The node under keys, and under what names an entry of a list."""
    for step in path:
        if isinstance(node, Entries):
            node = node.get(step)
        elif isinstance(node, Items):
            named = [
                item
                for item in node.items
                if step in [part.text for _, part in item.entries[:2] if isinstance(part, Scalar)]
            ]
            node = named[0] if named else None
    return node


def test_a_row_of_three_folders_nearest_first_each_value_with_the_line_that_gave_it(sites):
    documents = read(sites / "north")
    assert documents.extended == ("../coast", "../company")
    flammable = at(documents.structured["setpoints.yaml"], "setpoints", "flammable")
    assert [str(at(flammable, *path).where) for path in (("low", "true"), ("low", "action"), ("high", "true"))] == [
        "setpoints.yaml:4", "../company/setpoints.yaml:5", "../company/setpoints.yaml:6"
    ]  # fmt: skip
    calibration = at(documents.structured["checks.yaml"], "checks", "calibration")
    assert str(at(calibration, "interval").where) == "../coast/checks.yaml:4"
    assert str(at(calibration, "gas-time").where) == "../company/checks.yaml:20"
    assert str(at(documents.structured["site.yaml"], "name").where) == "site.yaml:2"


def test_lists_are_laid_over_by_what_their_entries_are_and_other_lists_are_whole(sites):
    put(sites / "south/areas.yaml", "areas:\n  - id: shed\n    name: Shed\n")
    put(sites / "south/site.yaml", (sites / "south/site.yaml").read_text() + "readings: [1 %LEL]\n")
    documents = read(sites / "south")
    areas = documents.structured["areas.yaml"].get("areas")
    assert [item.get("id").text for item in areas.items] == ["pit", "shed"]
    assert [item.text for item in documents.structured["site.yaml"].get("readings").items] == ["1 %LEL"]
    assert [(one.file, one.path) for one in documents.overrides] == [("site.yaml", ("readings",))]


def test_what_is_taken_out_is_gone_and_told_with_its_reason(sites):
    documents = read(sites / "north")
    hazards = at(documents.structured["areas.yaml"], "areas", "pit").get("hazards")
    assert [item.get("gas").text for item in hazards.items] == ["methane", "oxygen"]
    (gone,) = [one for one in documents.overrides if one.removed]
    assert (gone.path, gone.removed) == (("areas", "pit", "hazards", "propane"), "no bottle is kept in this yard")
    assert (str(gone.own), str(gone.inherited)) == ("areas.yaml:5", "../company/areas.yaml:8")


def test_a_key_a_structured_file_and_prose_can_be_taken_out(sites):
    put(sites / "south/site.yaml", (sites / "south/site.yaml").read_text() + "long-shift: {remove: shifts are short}\n")
    put(sites / "company/site.yaml", (sites / "company/site.yaml").read_text() + "long-shift: brief-scala\n")
    put(sites / "south/cards/pit-entrant.yaml", "remove: nobody goes in here\n")
    put(sites / "south/pages/wearing.md", "---\nremove: told by the training\n---\n")
    documents = read(sites / "south")
    assert documents.structured["site.yaml"].get("long-shift") is None
    assert "cards/pit-entrant.yaml" not in documents.structured
    assert "pages/wearing.md" not in documents.prose
    assert sorted(one.removed for one in documents.overrides) == [
        "nobody goes in here", "shifts are short", "told by the training"
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "text", "line"),
    [
        (
            "areas.yaml", "areas:\n  - {id: pitt, remove: filled in}\n",
            ("areas.yaml:2: areas/pitt is to be taken out, and no extended folder has it; "
             "allowed: what an extended folder has; nearest: pit"),
        ),
        (
            "areas.yaml", "areas:\n  - {id: pit, remove: }\n",
            "areas.yaml:2: areas/pit is taken out without a word; allowed: remove: why",
        ),
        (
            "areas.yaml", "areas: []\n",
            ("areas.yaml:1: nothing where what ../company/areas.yaml:2 says would hold; "
             "allowed: a value, no such key, or {remove: why}"),
        ),
        (
            "checks.yaml", "checks:\n  - id: bump-test\n    alarms-within:\n",
            ("checks.yaml:3: nothing where what ../company/checks.yaml:9 says would hold; "
             "allowed: a value, no such key, or {remove: why}"),
        ),
        (
            "pages/fire.md", "---\nremove: no such page\n---\n",
            ("pages/fire.md:2: pages/fire.md is to be taken out, and no extended folder has it; "
             "allowed: what an extended folder has"),
        ),
    ],
)  # fmt: skip
def test_nothing_inherited_goes_in_silence(name, text, line, sites):
    put(sites / "south" / name, text)
    assert told(sites / "south") == [line]


def test_what_holds_for_one_place_only_is_not_handed_on(sites):
    put(
        sites / "company/site.yaml", (sites / "company/site.yaml").read_text() + "published-at: https://a.example.org\n"
    )
    put(sites / "company/cylinders.yaml", "cylinders: []\n")
    put(sites / "company/accepted.yaml", "accepted: []\n")
    put(sites / "company/records/2026.csv", "unit\n")
    (sites / "south/cylinders.yaml").unlink()
    put(sites / "south/site.yaml", "extends: ../company\nname: South Yard\n")
    documents, problems = load_content(sites / "south")
    site = documents.structured["site.yaml"]
    assert [site.get(key) for key in ("short", "ambient", "published-at")] == [None, None, None]
    assert site.get("document").get("reviewed") is None
    assert site.get("document").get("title").text == "Gas detection handbook"
    assert "accepted.yaml" not in documents.structured
    assert documents.tables == {}
    assert [str(problem) for problem in problems] == [
        "cylinders.yaml:1: missing; allowed: this file in every content folder"
    ]


def test_what_a_site_has_to_say_itself_is_missed_in_its_own_file(sites):
    site = sites / "south/site.yaml"
    site.write_text(
        site.read_text(encoding="utf-8").replace("document: {reviewed: 2026-09-01}\n", ""), encoding="utf-8"
    )
    documents, problems = load_content(sites / "south")
    with pytest.raises(ContentError) as caught:
        read_program(documents, problems, library())
    assert [str(problem) for problem in caught.value.problems] == [
        "site.yaml:1: document has no 'reviewed'; allowed: key reviewed"
    ]


def test_a_fault_in_an_extended_folder_is_told_where_it_stands(sites):
    put(sites / "company/areas.yaml", "areas:\n  - id: {pit\n")
    put(sites / "company/setpoint.yaml", "a: 1\n")
    found = told(sites / "south")
    assert any(line.startswith("../company/areas.yaml:2: ") for line in found)
    assert any(line.startswith("../company/setpoint.yaml:1: a file the builder does not know") for line in found)


ALLOWED = "; allowed: a folder beside this one, at most three folders up, as in ../company"


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("../nowhere", "'../nowhere' is no folder"),
        ("/etc", "'/etc' is no such path"),
        ("company", "'company' is no such path"),
        ("..", "'..' is no such path"),
        ("../../../../company", "'../../../../company' is no such path"),
        ("../company/../../secret", "'../company/../../secret' is no such path"),
        ("C:\\company", "'C:\\\\company' is no such path"),
        ("../south", "'../south' goes round in a circle: . -> ."),
        ("../south/inner", "'../south/inner' and the content lie in each other"),
        ("../linked", "'../linked' leads over a symbolic link"),
        ("../site.yaml", "'../site.yaml' is no folder"),
    ],
)
def test_a_path_that_is_no_folder_beside_is_refused_with_its_line(text, fault, sites):
    (sites / "linked").symlink_to(sites / "company")
    (sites / "south/inner").mkdir()
    put(sites / "site.yaml", "a: 1\n")
    rest = (sites / "south/site.yaml").read_text().partition("\n")[2]
    put(sites / "south/site.yaml", f"\nextends: {text}\n{rest}")
    assert f"site.yaml:2: extends: {fault}{ALLOWED}" in told(sites / "south")


def test_a_circle_and_a_row_too_long_are_refused_where_they_are_said(sites):
    for number in range(1, 5):
        put(sites / f"f{number}/site.yaml", f"extends: ../f{number + 1}\n")
    put(sites / "f5/site.yaml", "paper: A4\n")
    _, (problem,) = content_folders(sites / "f1")
    assert str(problem) == (
        "../f4/site.yaml:1: extends: '../f5' is one folder too many: ., ../f2, ../f3, ../f4" + ALLOWED
    )
    put(sites / "f3/site.yaml", "extends: ../f2\n")
    _, (problem,) = content_folders(sites / "f1")
    assert problem.found == "extends: '../f2' goes round in a circle: . -> ../f2 -> ../f3 -> ../f2"
    put(sites / "deep/f2/site.yaml", "paper: A4\n")
    put(sites / "f3/site.yaml", "extends: ../deep/f2\n")
    _, (problem,) = content_folders(sites / "f1")
    assert problem.found == "extends: '../deep/f2' has the name of a folder that is extended already"


def test_a_link_out_of_an_extended_folder_is_refused(sites):
    (sites / "company/pages/more.md").symlink_to(Path(__file__))
    assert "../company/pages/more.md:1: a link that leads out of the content folder; allowed: the file itself" in told(
        sites / "south"
    )


def test_copies_that_a_release_kept_are_read_in_the_place_of_the_folders_and_put_back_they_are_refused(sites):
    wanted = read(sites / "north")
    for name in ("coast", "company"):
        (sites / "north/extended").mkdir(exist_ok=True)
        (sites / name).rename(sites / "north/extended" / name)
    assert read(sites / "north").structured == wanted.structured
    with pytest.raises(ContentError, match="extended:1: copies that a release kept"):
        refuse_kept(sites / "north")
    put(sites / "SHA256SUMS", "")
    refuse_kept(sites / "north")


def test_a_folder_that_extends_nothing_is_as_ever(sites):
    assert content_folders(sites / "company")[0][1:] == ()
    assert read(sites / "south").extended == ("../company",)
