"""No name of a person in a copy that anybody may read, and every line where it stood. All people here are invented."""

from __future__ import annotations

import pytest

from builder.base.errors import PublishError
from builder.load.yaml_lines import readable_yaml
from builder.publish.freeze import withheld

PEOPLE = """\
# kept by A. Narrow
people:
  - {id: kd, name: K. Dorrance (invented), role: tester, may: [zero], from: 2026-01-12, assessed-by: Old Hand}
  - {id: ls, name: "L. \\"Lou\\" Sarkany, junior", role: tester, assessed-by: 'Old Hand''s deputy'}
  - id: mo   # M. Okereke
    name: M. Okereke
    role: calibrator
    assessed-by: "Old Hand"
    note: dorrance road
"""
PRIVATE = ("Dorrance", "Sarkany", "Okereke", "Old Hand", "Narrow")


def test_names_are_left_out_and_all_else_stays_on_its_line():
    files = {"people.yaml": PEOPLE.encode(), "site.yaml": b"name: Mill\n", "a.csv": b"Okereke\n"}
    made = withheld(files)
    said = made["people.yaml"].decode()
    assert [name for name in PRIVATE if name in said] == []
    assert said.count("withheld") == 6
    assert said.count("\n") == PEOPLE.count("\n")
    assert "  - {id: kd, name: withheld, role: tester, may: [zero], from: 2026-01-12, assessed-by: withheld}" in said
    node, problems = readable_yaml(said, "people.yaml")
    assert not problems
    assert [person.get("id").text for person in node.get("people").items] == ["kd", "ls", "mo"]
    assert {name: made[name] for name in ("site.yaml", "a.csv")} == {
        name: files[name] for name in ("site.yaml", "a.csv")
    }
    assert withheld(made) == made, "a copy of a copy is the same"


@pytest.mark.parametrize(("public", "kept"), [("true", True), ("false", False)])
def test_a_site_that_makes_them_public_keeps_them(public, kept):
    site = f"name: Mill\npublic: {{people: {public}}}\n".encode()
    made = withheld({"people.yaml": PEOPLE.encode(), "site.yaml": site})
    assert (made["people.yaml"] == PEOPLE.encode()) is kept


def test_a_name_over_two_lines_is_refused_rather_than_kept():
    text = "people:\n  - id: kd\n    name: K.\n      Dorrance\n    role: tester\n"
    with pytest.raises(PublishError, match=r"people.yaml: names cannot be left out"):
        withheld({"people.yaml": text.encode()})
