"""The files of a ledger agree with each other, or it is none: whatever is moved between them is told."""

import json

import pytest

from builder.base.errors import ArchiveError
from builder.base.parted import LEAST
from builder.base.spool import Spool
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.figures.recompute import recompute
from builder.history.ledger_files import FIGURES, part_path, read_ledger
from builder.publish.ledger_json import put_ledger
from builder.verify.report import Difference
from builder.verify.verify import check_ledger
from tests.conftest import DEMO

COUNT = 5 * LEAST


def figure(key):
    return Figure(
        key=key, label="unit", exact=1, unit="", text="1", rounding=None, formula="origin.stated", inputs=(), source="x"
    )


@pytest.fixture(scope="module")
def files():
    figures = {f"unit.{number:05}": figure(f"unit.{number:05}") for number in range(COUNT)}
    ledger = Ledger(figures=figures, aliases={}, names={})
    put_ledger(made := Spool(), ledger, {"index.html": ["unit.00007"]}, {"site": "pit"})
    assert len(made) > 2, "several parts"
    return dict(made)


def broken(files, path, change):
    told = json.loads(files[path])
    change(told)
    return files | {path: json.dumps(told).encode()}


def test_every_figure_is_read_back_with_the_places_that_print_it(files):
    found = read_ledger(files.__getitem__, "here")
    assert found.facts["site"] == "pit"
    assert list(found.figures) == [f"unit.{number:05}" for number in range(COUNT)]
    assert found.figures["unit.00007"]["printed_on"] == ["index.html"]
    assert "unit.00007" in json.loads(files[found.path_of("unit.00007")])["figures"]
    assert "unit.02499" in json.loads(files[found.path_of("unit.02499")])["figures"]


CHANGES = {
    "a figure is gone": (part_path(1), lambda told: told["figures"].popitem()),
    "the first figure has another key": (
        part_path(1), lambda told: told["figures"].update({"unit.00000": told["figures"].pop(min(told["figures"]))}),
    ),
    "a figure of a later part": (
        part_path(0), lambda told: told["figures"].update({"unit.02499": told["figures"].popitem()[1]}),
    ),
    "a part has another form": (part_path(1), lambda told: told.update(format=1)),
    "a part holds a list": (part_path(1), lambda told: told.update(figures=[])),
    "the index counts otherwise": (FIGURES, lambda told: told["parts"][0].update(figures=7)),
    "the index leads elsewhere": (FIGURES, lambda told: told["parts"][0].update(file="../../secret.json")),
    "the index names a part twice": (FIGURES, lambda told: told["parts"].append(told["parts"][0])),
    "the index names no parts": (FIGURES, lambda told: told.pop("parts")),
}  # fmt: skip


@pytest.mark.parametrize("what", CHANGES)
def test_files_that_contradict_each_other_are_no_ledger(files, what, tmp_path):
    wrong = broken(files, *CHANGES[what])
    with pytest.raises(ArchiveError):
        dict(read_ledger(wrong.__getitem__, "here").figures)
    for path, data in wrong.items():
        (tmp_path / path).parent.mkdir(exist_ok=True)
        (tmp_path / path).write_bytes(data)
    assert any("is no ledger that can be calculated again" in str(one) for one in check_ledger(tmp_path, "").faults)


def test_a_text_of_any_length_is_told_in_a_few_lines():
    told = str(Difference("ledger/001.json", "exact", "1", "9" * 5000))
    assert told.startswith("ledger/001.json: exact: '999")
    assert told.endswith("…' instead of '1'")
    assert len(told) < 500


def released(key):
    """A figure as the demo's second revision tells it, and all that it was made from."""
    root = DEMO.parent / "site" / "revisions" / "2"
    told = read_ledger(lambda name: (root / name).read_bytes(), "here").figures
    found, wanted = {}, [key]
    while wanted:
        name = wanted.pop()
        found[name] = json.loads(json.dumps(told[name]))
        wanted += [part["figure"] for part in found[name]["inputs"] if part.get("figure")]
    return found


@pytest.mark.parametrize(
    ("field", "told", "held"),
    [("expression", "days = something", False), ("rounding", "as it comes", False), ("exact", "7", True)],
)
def test_another_builder_may_word_a_formula_otherwise_but_answers_the_same(field, told, held):
    key = "model.four-pumped.log-full-after"
    figures = released(key)
    assert recompute(figures, words=False) == ()
    figures[key][field] = told
    assert field in [one.what for one in recompute(figures, words=True)]
    assert (field in [one.what for one in recompute(figures, words=False)]) == held
