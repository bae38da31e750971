"""A comparison finds exactly what was planted, says why, and what follows from it."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from datetime import date
from types import SimpleNamespace

import pytest

from builder import pipeline
from builder.base.errors import UsageError
from builder.cli import run
from builder.history.archive import Archive, Past, read_archive
from builder.history.compare import compare
from builder.history.edition import About, CardTold, Edition, RecordedFigure, RecordedInput
from builder.history.reprint import comparison_of
from builder.history.status import statuses
from builder.pages.edition import edition_of
from builder.release.difference import difference
from tests.release.release_kit import SECOND_DAY, edit, sound_content

HIGH = "setpoint.pit.flammable.high"


@pytest.fixture(scope="module")
def found(twice):
    return difference("2", "3", site=twice.out, content=twice.content, as_of=SECOND_DAY)


def test_exactly_the_planted_figures_changed_in_substance(found):
    comparison, _ = found
    changed = {change.key: change for change in comparison.substance}
    # What rests on the high alarm: itself, what is really there when it sounds, and how strong bump gas is beside it.
    there = {
        f"setpoint.pit.{gas}.high.{kind}" for gas in ("methane", "propane") for kind in ("true", "vol", "on-flammable")
    }
    bumped = {key for key in changed if key.startswith("bump.") and key.endswith(".high.ratio")}
    assert {key for key in changed if not key.startswith(HIGH)} == there | bumped
    assert len(bumped) == 1
    assert {(change.kind, change.before, change.after) for key, change in changed.items() if key == HIGH} == {
        ("changed", "5\u00a0%LEL", "10\u00a0%LEL")  # 10 / 1.9 and 20 / 1.9, both down
    }


def test_every_change_leads_to_the_one_line_that_caused_it(found):
    comparison, _ = found
    for change in comparison.substance:
        (cause,) = change.causes
        assert (cause.kind, cause.before, cause.after) == ("content", "10 %LEL", "20 %LEL"), change.key
        assert cause.place.startswith("setpoints.yaml:")


def test_places_that_print_it_are_named(found):
    comparison, _ = found
    (change,) = [change for change in comparison.substance if change.key == HIGH]
    assert {"areas/pit.html", "setpoints.html"} <= set(change.pages)
    assert change.cards == ("pit-entrant",)


def test_what_moved_with_the_calendar_stands_apart(found):
    comparison, _ = found
    keys = {change.key for change in comparison.passing}
    assert {"handbook.as-of", "card.issued", "card.pit-entrant.valid-until", "unit.d-001.bump-test.last"} <= keys
    assert "revision.3.effective" in keys
    assert not {change.key for change in comparison.substance} & keys


def test_words_changed_are_found_word_by_word(found):
    comparison, _ = found
    assert [(text.subject, text.part) for text in comparison.texts] == [
        ("procedure:bump-test", "caution 1"),
        ("procedure:bump-test", "step 1"),
        ("setpoint:pit.flammable.high", "what to do"),
    ]
    step = comparison.texts[1]
    assert [words.strip() for kind, words in step.runs if kind == "in"] == ["clean"]
    assert [words for kind, words in step.runs if kind == "out"] == []


def test_reprint_recall_and_briefing(found):
    _, follows = found
    (card,) = follows.cards
    assert (card.what, card.why, card.copies) == ("pit-entrant", "changed", 4)
    assert card.code_before != card.code_after
    assert any("Never go back" in line for line in card.differences)
    assert [(r.holder, r.copies, r.revision) for r in follows.recalls] == [("K. Day", 3, 2)]
    assert {b.person for b in follows.briefings} == {"K. Day", "Box at the lid"}
    assert all(any("Never go back" in subject for subject in b.subjects) for b in follows.briefings)
    assert {entry.what for entry in follows.documents} >= {"forms/bump-test-pit.pdf"}


def test_an_edition_against_itself_has_nothing(twice):
    comparison, follows = difference("3", "3", site=twice.out, content=twice.content, as_of=SECOND_DAY)
    assert (comparison.changes, comparison.texts, follows.cards, follows.documents) == ((), (), (), ())


def test_the_draft_of_the_same_content_differs_by_nothing_of_substance(twice):
    comparison, follows = difference("3", "draft", site=twice.out, content=twice.content, as_of=date(2026, 12, 9))
    assert comparison.substance == ()
    assert {change.key for change in comparison.passing} == {"handbook.as-of"}
    assert (comparison.texts, follows.cards, follows.documents, follows.briefings) == ((), (), (), ())


def test_an_unknown_edition_names_those_there_are(twice):
    with pytest.raises(UsageError, match="no edition is called '7'; allowed: 2, 3, draft"):
        difference("7", "draft", site=twice.out, content=twice.content, as_of=SECOND_DAY)


def test_where_nothing_was_released_it_is_said_with_the_folder(twice, tmp_path):
    with pytest.raises(UsageError, match=f"no edition is called '1': no revision was released in {tmp_path}"):
        difference("1", "draft", site=tmp_path, content=twice.content, as_of=SECOND_DAY)


def test_terminal_and_json_tell_the_same(twice, capsys):
    where = ["--content", str(twice.content), "--out", str(twice.out), "--as-of", SECOND_DAY.isoformat()]
    assert run(["compare", "2", "3", "--json", *where]) == 0
    told = json.loads(capsys.readouterr().out)
    substance = [figure for figure in told["figures"] if not figure["passing"]]
    assert HIGH in {figure["key"] for figure in substance}
    assert [recall["holder"] for recall in told["reprint"]["recalls"]] == ["K. Day"]
    assert run(["compare", "2", "3", *where]) == 0
    out = capsys.readouterr().out
    assert out.startswith("Revision 2 → Revision 3")
    for title in ("Figures that changed", "Words that changed", "To be printed anew", "Copies to take back"):
        assert title in out


def test_the_page_of_differences_tells_it_offline(twice):
    page = (twice.out / "differences.html").read_text(encoding="utf-8")
    assert "From Revision 2 to Revision 3." in page
    assert "setpoints.yaml:" in page
    heads = (
        "Alarms that changed",
        "Copies to take back",
        "People to brief on alarms",
        "To be printed anew",
        "Words that changed",
    )
    places = [page.index(f">{title}") for title in (*heads, "Other figures that changed")]
    assert places == sorted(places)  # what people act on comes before what auditors follow
    assert "K. Day" not in page  # names stay off the pages unless the site says otherwise
    assert "named in the content" in page
    frozen = (twice.out / "revisions" / "3" / "differences.html").read_text(encoding="utf-8")
    assert "From Revision 2 to Revision 3." in frozen


# ---- what must be printed anew and told, though no figure changed ------------------------------

LABELS = """\
sheets:
  - {id: small, paper: A4, label: 63.5 mm × 38.1 mm, columns: 3, rows: 7, left: 7.2 mm, top: 15.1 mm,
     gap-x: 2.5 mm, gap-y: 0 mm}
"""


def as_edition(content):
    judged = pipeline.judge(content, SECOND_DAY)
    made = pipeline.compose(judged)
    told = pipeline.told(judged, draft=True)
    return judged.program, edition_of(judged.ledger, made.pages, made.cards, made.outputs, made.texts, told)


@pytest.fixture(scope="module")
def labelled(tmp_path_factory):
    """The sound content with a sheet of labels, and its edition."""
    content = sound_content(tmp_path_factory.mktemp("labelled") / "content")
    (content / "labels.yaml").write_text(LABELS, encoding="utf-8")
    return content, as_edition(content)[1]


@pytest.mark.parametrize(
    ("file", "before", "after", "documents"),
    [
        ("inventory.yaml", "T2-0002", "T2-0009", {"labels/small.pdf", "forms/bump-test--pools.pdf"}),
        ("inventory.yaml", "calibration: 2026-08-30", "calibration: 2026-12-01", {"labels/small.pdf"}),
        ("inventory.yaml", "Rack in the yard office", "Locker at the gate", {"labels/small.pdf"}),
        ("setpoints.yaml", "Out now. Stay out.", "Out now. Never go back.", set()),
    ],
    ids=[
        "a serial number",
        "a day until which a check holds",
        "a place where a unit is kept, which may lack room",
        "an action, which stands on no form",
    ],
)
def test_a_paper_is_printed_anew_when_its_face_changed(labelled, tmp_path, file, before, after, documents):
    content, old = labelled
    changed = tmp_path / "content"
    shutil.copytree(content, changed)
    edit(changed / file, before, after)
    program, new = as_edition(changed)
    _, follows = comparison_of(old, new, Past(), program)
    listed = {entry.what: entry for entry in follows.documents}
    assert documents <= listed.keys()
    assert ("labels/small.pdf" in listed) is ("labels/small.pdf" in documents)
    for path in documents:
        assert listed[path].why == "changed"
        assert any("[+" in line for line in listed[path].differences)


OLD_LABELS = (
    *("d-001", "Calibration due", "21 Mar 2027", "Four-gas, pumped · Inlet wet well", "Oxygen, Flammable, H₂S, CO"),
    *("Inspection due 8 Mar 2027", "TMW-4P-3137"),
    *("d-002", "Calibration due", "30 Mar 2027", "Single-gas · Boiler house", "CO", "TMW-1C-0002"),
    *("d-003", "Calibration due", "14 Feb 2027", "TMW-4P-3211"),
)
"""As the first releases of the demo recorded a sheet of labels; the third had no room for what it tells of its unit."""
NEW_LABELS = (
    *("d-001", "Calibration due", "21 Mar 2027", "TMW-4P-3137"),
    *("d-002", "Calibration due", "30 Mar 2027", "TMW-1C-0002"),
    *("d-003", "Calibration due", "14 Feb 2027", "TMW-4P-3211"),
)
OF_UNITS = (
    "d-001: Four-gas, pumped. Oxygen, Flammable, H₂S, CO. Inlet wet well",
    "d-002: Single-gas. CO. Boiler house",
    "d-003: Four-gas, pumped. Oxygen, Flammable, H₂S, CO. Inlet wet well",
)
SWAPPED = str.maketrans("12", "21")


def sheets(words, about, path="labels/large.pdf"):
    due = (told(f"unit.d-00{n}.inspection.due", "8 Mar 2027") for n in (1, 2, 3, 4))
    return replace(edition(*due), documents={path: tuple(words)}, about_units=None if about is None else {path: about})


def told_anew(old, new):
    program = SimpleNamespace(people={}, copies=())
    return list(comparison_of(old, new, Past(), program)[1].documents)


def test_an_edition_that_kept_all_words_of_labels_together_differs_by_nothing_that_is_only_recorded_otherwise():
    assert told_anew(sheets(OLD_LABELS, None), sheets(NEW_LABELS, OF_UNITS)) == []
    bottle = ("c-101", "Last day of use", "31 Mar 2028", "Balance: air{} Lot T4-2207", "For: Bump test, Calibration")
    of_bottles = ([line.format(mark) for line in bottle] for mark in (" ·", ";"))
    old, new = (sheets(words, about, "labels/bottles.pdf") for words, about in zip(of_bottles, (None, ()), strict=True))
    assert told_anew(old, new) == []


@pytest.mark.parametrize(
    ("words", "about", "label"),
    [
        (NEW_LABELS, [OF_UNITS[0].replace("pumped", "worn"), *OF_UNITS[1:]], "d-001"),
        (NEW_LABELS, [OF_UNITS[0].replace(", CO", ""), *OF_UNITS[1:]], "d-001"),
        (NEW_LABELS, [OF_UNITS[0], OF_UNITS[1].replace("Boiler house", "Coatings shop"), OF_UNITS[2]], "d-002"),
        ([line.replace("30 Mar", "29 Mar") for line in NEW_LABELS], OF_UNITS, "d-002"),
        ([line.replace("3211", "3212") for line in NEW_LABELS], OF_UNITS, "d-003"),
        (NEW_LABELS[:8], OF_UNITS[:2], "d-003"),
        ((*NEW_LABELS, "d-004", "Calibration due", "X-1"), (*OF_UNITS, "d-004: Single-gas. CO. Yard"), "d-004"),
        (NEW_LABELS, [OF_UNITS[0], OF_UNITS[1].replace("Single", "Two"), OF_UNITS[2].replace("wet", "dry")], "d-002"),
        (NEW_LABELS, sorted(line.translate(SWAPPED) for line in OF_UNITS), "d-001 d-002"),
    ],
    ids=["model", "gases", "area", "day", "serial", "gone", "new", "no room", "swapped"],
)  # fmt: skip
def test_against_such_an_edition_the_labels_that_changed_are_told(words, about, label):
    (sheet,) = told_anew(sheets(OLD_LABELS, None), sheets(words, about))
    told_of = [line.replace("[+ ", "").replace("[− ", "")[:5] for line in sheet.differences]
    assert (sheet.why, told_of) == ("changed", label.split())
    assert all("[−" in line or "[+" in line for line in sheet.differences)


def test_whoever_acts_by_an_action_is_told_when_it_alone_changed(labelled, tmp_path):
    content, old = labelled
    changed = tmp_path / "content"
    shutil.copytree(content, changed)
    edit(changed / "setpoints.yaml", "Out now. Stay out.", "Out now. Never go back.")
    program, new = as_edition(changed)
    comparison, follows = comparison_of(old, new, Past(), program)
    assert comparison.seen == ()
    assert [card.what for card in follows.cards] == ["pit-entrant"]
    assert {briefing.person for briefing in follows.briefings} == {"K. Day", "Box at the lid"}
    for briefing in follows.briefings:
        assert briefing.subjects == ("pit.flammable.high: Out now. Stay out. → Out now. Never go back.",)


# ---- causes, one kind each --------------------------------------------------------------------


def told(key, printed, *parts, **other):
    base = {"label": key, "exact": printed, "rounding": "", "formula": "f", "expression": "a + b", "source": ""}
    return RecordedFigure(key=key, printed=printed, parts=parts, printed_on=(), **{**base, **other})


def edition(*figures, name="E", cards=(), number=0):
    about = None
    if number:
        about = About(
            number=number, effective="", reason="", prepared="", reviewed="", approved="", as_of="", versions={}
        )
    return Edition(
        name=name,
        as_of="",
        figures={figure.key: figure for figure in figures},
        cards={card.id: card for card in cards},
        procedures={},
        actions={},
        documents={},
        about=about,
    )


def part(label, text="", figure="", where="", source=""):
    return RecordedInput(label=label, text=text, figure=figure, where=where, source=source)


@pytest.mark.parametrize(
    ("old", "new", "kind", "words"),
    [
        (told("a", "1", part("p", "1", where="x:1")), told("a", "2", part("p", "2", where="x:3")), "content", "x:3"),
        (told("a", "1", part("p", "1", source="T 1")), told("a", "2", part("p", "2", source="T 2")), "table", "T 2"),
        (told("a", "1"), told("a", "2", expression="a − b"), "formula", "a + b → a − b"),
        (told("a", "1"), told("a", "2", formula="g"), "formula", "f → g"),
        (told("a", "1"), told("a", "2", rounding="down"), "rounding", "none → down"),
    ],
    ids=["content", "table", "expression", "formula", "rounding"],
)
def test_a_cause_is_named(old, new, kind, words):
    (change,) = compare(edition(old), edition(new)).changes
    (cause,) = change.causes
    assert cause.kind == kind
    assert words in str(cause)
    assert not change.passing


def test_another_formula_with_the_same_value_is_told_too():
    (change,) = compare(edition(told("a", "1")), edition(told("a", "1", expression="b + a"))).changes
    assert (change.kind, change.passing) == ("derived", False)


def test_a_line_that_only_moved_is_no_change():
    old, new = told("a", "1", part("p", "1", where="x:1")), told("a", "1", part("p", "1", where="x:9"))
    assert compare(edition(old), edition(new)).changes == ()


def test_a_due_date_is_passing_when_the_check_was_done_but_not_when_its_interval_changed():
    def due(last, interval, day):
        done = told("unit.u.bump.last", last, part("done", last, where="inventory.yaml:3"))
        parts = (part("last", last, figure="unit.u.bump.last"), part("interval", interval, where="checks.yaml:5"))
        return edition(done, told("unit.u.bump.due", day, *parts))

    old = due("1 Jan", "6 months", "1 Jul")
    done = {change.key: change for change in compare(old, due("2 Jan", "6 months", "2 Jul")).changes}
    assert done["unit.u.bump.due"].passing
    sooner = {change.key: change for change in compare(old, due("1 Jan", "3 months", "1 Apr")).changes}
    assert not sooner["unit.u.bump.due"].passing
    assert {cause.place for cause in sooner["unit.u.bump.due"].causes} == {"checks.yaml:5"}


# ---- card status --------------------------------------------------------------------------------


def card(name, code, line):
    return CardTold(
        id=name,
        title=name,
        audience="entrant",
        area="",
        code=code,
        face=line,
        lines=(line,),
        valid_until="",
        figures=(),
    )


def test_codes_are_current_superseded_or_withdrawn():
    one = edition(name="Revision 1", number=1, cards=[card("pit", "X-1", "low 5"), card("well", "X-2", "a")])
    two = edition(name="Revision 2", number=2, cards=[card("pit", "X-3", "low 4")])
    three = edition(name="Revision 3", number=3, cards=[card("pit", "X-4", "low 4")])
    found = {s.code: s for s in statuses(Archive({1: one, 2: two}), three, released=True)}
    assert {code: status.state for code, status in found.items()} == {
        "X-1": "superseded",
        "X-2": "withdrawn",
        "X-3": "superseded",
        "X-4": "current",
    }
    assert (found["X-1"].by, found["X-1"].by_code) == ("Revision 2", "X-4")
    assert found["X-1"].changed == ("low [− 5 −][+ 4 +]",)
    assert found["X-3"].changed == ()  # only revision and dates
    assert found["X-2"].by == "Revision 2"
    draft = replace(three, name="Draft", about=None)
    as_draft = {s.code: s.state for s in statuses(Archive({1: one, 2: two}), draft, released=False)}
    assert as_draft == {"X-1": "superseded", "X-2": "withdrawn", "X-3": "current", "X-4": "draft"}


def test_the_status_page_works_as_a_table_with_an_anchor_a_code(twice):
    archive = read_archive(twice.out)
    old, new = (archive.editions[number].cards["pit-entrant"].code for number in (2, 3))
    page = (twice.out / "cards" / "status.html").read_text(encoding="utf-8")
    rows = {row.partition('"')[0]: row for row in page.split('<tr id="')[1:]}
    assert set(rows) == {old, new}
    assert "superseded" in rows[old]
    assert new in rows[old]
    assert "Never go back" in rows[old]
    assert "current" in rows[new]
    assert 'src="../assets/status.js"' in page
    assert (twice.out / "assets" / "status.js").is_file()
    frozen = (twice.out / "revisions" / "3" / "cards" / "status.html").read_text(encoding="utf-8")
    assert "current on that day" in frozen
    assert ">current<" not in frozen
