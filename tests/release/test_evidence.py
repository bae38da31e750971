"""The evidence pack, retention, the register of copies and the review of setpoints."""

from __future__ import annotations

import csv
import shutil
import subprocess
from datetime import date

import pytest
from pypdf import PdfReader

from builder import pipeline
from builder.base.errors import ContentError, PublishError, UsageError
from builder.cli import run
from builder.release.difference import difference
from builder.release.evidence import WHAT, evidence, verify_pack
from tests.release.forgery import mend, redraw, replace_text
from tests.release.release_kit import SECOND_DAY, edit, linked_copy, overwrite, sound_content


def test_the_pack_has_contents_and_every_table(twice, tmp_path):
    pack = evidence(twice.content, twice.out, SECOND_DAY, tmp_path / "pack")
    reader = PdfReader(tmp_path / "pack" / "evidence.pdf")
    text = " ".join(" ".join(page.extract_text().split()) for page in reader.pages)
    for words in (
        "Alarm setpoints",
        "Checks due",
        "Calibration gas",
        "Revisions",
        "Findings",
        "How long records are kept",
    ):
        assert words in text
    assert "Evidence after revision 3" in text
    assert "Reason 3" in text
    assert pack.files == tuple(sorted(path.name for path in (tmp_path / "pack").iterdir()))
    text = (tmp_path / "pack" / "revisions.csv").read_text(encoding="utf-8-sig")
    rows = list(csv.DictReader(text.splitlines()))
    assert [(row["revision"], row["approved"]) for row in rows] == [
        ("1", "C. Head, site manager"),
        ("2", "C. Head"),
        ("3", "C. Head"),
    ]
    done = subprocess.run(["sha256sum", "--strict", "--quiet", "-c", "SHA256SUMS"], cwd=pack.out, check=False)
    assert done.returncode == 0


@pytest.fixture(scope="module")
def pack(twice, tmp_path_factory):
    """A pack; tests work on copies of it."""
    return evidence(twice.content, twice.out, SECOND_DAY, tmp_path_factory.mktemp("packed") / "pack").out


def told(report):
    return [str(fault) for fault in report.faults]


def test_a_pack_alone_has_its_checksums_examined_and_says_what_it_takes_for_more(pack):
    report = verify_pack(pack)
    assert told(report) == []
    counts = {check.what: (check.count, check.note) for check in report.checks}
    assert counts["checksums"] == (len(list(pack.iterdir())) - 1, "")
    assert "give --content and --site" in counts[WHAT][1]


def test_a_pack_is_said_again_from_content_and_site(pack, twice):
    report = verify_pack(pack, of=twice.out, content=twice.content)
    assert told(report) == []
    assert {check.what: check.count for check in report.checks}[WHAT] == len(list(pack.iterdir())) - 1


def test_whatever_is_changed_in_a_pack_is_found_though_its_checksums_were_mended(pack, twice, tmp_path):
    root = linked_copy(pack, tmp_path / "pack")
    replace_text(root, "revisions.csv", "C. Head", "C. Hand")
    replace_text(root, "about.json", SECOND_DAY.isoformat(), SECOND_DAY.isoformat() + " ")
    redraw(root, "evidence.pdf", "Reason 3", "Reason 2")
    (root / "more.csv").write_text("x", encoding="utf-8")
    mend(root)
    assert verify_pack(root).faults == []  # all agrees with itself
    assert told(verify_pack(root, of=twice.out, content=twice.content))[0].startswith("about.json: does not tell")
    overwrite(root / "about.json", (pack / "about.json").read_bytes())
    mend(root)
    found = {fault.path for fault in verify_pack(root, of=twice.out, content=twice.content).faults}
    assert found == {"revisions.csv", "evidence.pdf", "more.csv"}


def test_a_pack_that_was_changed_without_its_checksums_is_found_alone(pack, tmp_path):
    root = linked_copy(pack, tmp_path / "pack")
    replace_text(root, "revisions.csv", "C. Head", "C. Hand")
    assert told(verify_pack(root)) == ["revisions.csv: is not what SHA256SUMS lists: it was changed"]


def test_a_site_does_not_pass_for_a_pack(twice, pack, tmp_path):
    """Of a pack alone the checksums are held; what is done to a site must not make that all that is held of it."""
    root = linked_copy(twice.out, tmp_path / "site")
    (root / "figures.json").unlink()
    shutil.copy(pack / "evidence.pdf", root)
    mend(root)
    assert run(["verify", str(root), "--quiet"]) == 1


def test_the_command_examines_a_pack_and_wants_a_site_for_nothing_else(pack, twice, capsys):
    assert run(["verify", str(pack), "--site", str(twice.out), "--content", str(twice.content)]) == 0
    assert "nothing wrong was found in what was examined" in capsys.readouterr().out
    assert run(["verify", str(twice.out), "--site", str(twice.out)]) == 2
    assert "--site is for an evidence pack" in capsys.readouterr().err


def test_a_folder_that_holds_something_is_refused(twice, tmp_path):
    (tmp_path / "mine.txt").write_text("x", encoding="utf-8")
    with pytest.raises(PublishError, match="holds something already"):
        evidence(twice.content, twice.out, SECOND_DAY, tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_a_site_that_is_not_there_or_is_anothers_is_refused(twice, minimal, tmp_path):
    out = tmp_path / "pack"
    for site in (tmp_path / "nothing", tmp_path):
        with pytest.raises(UsageError, match="is no published site"):
            evidence(twice.content, site, SECOND_DAY, out)
    other = sound_content(tmp_path / "c")
    edit(other / "site.yaml", "Lower Example Yard", "Upper Example Yard")
    found = "is the handbook of 'Lower Example Yard', but the content tells of 'Upper Example Yard'"
    with pytest.raises(UsageError, match=found):
        evidence(other, minimal.out, SECOND_DAY, out)
    assert not out.exists()


def test_releases_that_were_changed_or_taken_away_are_no_evidence(twice, tmp_path):
    root = linked_copy(twice.out, tmp_path / "site")
    about = root / "revisions" / "2" / "about.json"
    overwrite(about, about.read_bytes().replace(b"C. Head", b"D. Other"))
    for attempt in (
        lambda: evidence(twice.content, root, SECOND_DAY, tmp_path / "pack"),
        lambda: difference("2", "3", site=root, content=twice.content, as_of=SECOND_DAY),
    ):
        with pytest.raises(PublishError, match=r"differ from SHA256SUMS: revisions/2/about\.json; put them back"):
            attempt()
    shutil.rmtree(about.parent)
    with pytest.raises(PublishError, match="differ from SHA256SUMS"):
        evidence(twice.content, root, SECOND_DAY, tmp_path / "pack")
    assert not (tmp_path / "pack").exists()


def test_the_command_refuses_it_as_wrong_usage(twice, tmp_path, capsys):
    where = ["--content", str(twice.content), "--out", str(tmp_path / "pack"), "--as-of", SECOND_DAY.isoformat()]
    assert run(["evidence", *where, "--site", str(tmp_path / "nothing")]) == 2
    assert "is no published site" in capsys.readouterr().err


def test_findings_that_were_mended_say_since_when(twice):
    from builder.history.resolved_findings import courses

    judged = pipeline.judge(twice.content, SECOND_DAY)
    every = courses(twice.out, judged.findings)
    assert {course.closed for course in every if course.first == "revision 2"} >= {""}
    assert [course.closed for course in courses(twice.out, ())] == ["now"] * len(every)


def test_retention_is_printed_with_its_figure_and_the_published_minimums(tmp_path):
    content = sound_content(tmp_path / "c")
    (content / "retention.yaml").write_text(
        "retention:\n"
        "  - {id: bumps, what: Records of bump tests, keep: 3 years, rule: policy G-7}\n"
        "  - {id: units, what: History of a unit, until: the unit is scrapped, rule: policy G-7, source: invented}\n",
        encoding="utf-8",
    )
    judged = pipeline.judge(content, date(2026, 11, 25))
    assert judged.ledger["retention.bumps.keep"].text == "3\u00a0years"
    pages = {page.id: page for page in pipeline.compose(judged).pages}
    told = next(text for text in map(repr, pages.values()) if "retention.bumps.keep" in text)
    assert "until the unit is scrapped" in told
    assert "29 CFR 1910.1020(d)(1)(ii)" in told


@pytest.mark.parametrize(
    ("file", "text", "found"),
    [
        ("retention.yaml", "retention:\n  - {id: a, what: b, rule: c}\n", "neither keep nor until"),
        ("retention.yaml", "retention:\n  - {id: a, what: b, rule: c, keep: for ever}\n", "'for ever' is no interval"),
        ("copies.yaml", "copies:\n  - {card: a, holder: b, copies: 0, revision: 1}\n", "'0' for 'copies'"),
        ("copies.yaml", "copies:\n  - {card: a, copies: 1, revision: 1}\n", "copies has no 'holder'"),
    ],
)
def test_faults_of_the_registers_are_found(tmp_path, file, text, found):
    content = sound_content(tmp_path / "c")
    (content / file).write_text(text, encoding="utf-8")
    with pytest.raises(ContentError) as caught:
        pipeline.judge(content, date(2026, 11, 25))
    assert [problem.where.file for problem in caught.value.problems] == [file]
    assert found in str(caught.value)


@pytest.mark.parametrize(
    ("day", "rules"),
    [(date(2027, 8, 31), []), (date(2027, 9, 1), ["review-soon"]), (date(2027, 10, 1), ["review-soon"]),
     (date(2027, 10, 2), ["review-overdue"])],
)  # fmt: skip
def test_the_review_of_setpoints_is_a_figure_and_a_finding(tmp_path, day, rules):
    content = sound_content(tmp_path / "c")
    edit(content / "setpoints.yaml", "setpoints:", "reviewed: 2026-10-01\nreview-every: 12 months\nsetpoints:")
    judged = pipeline.judge(content, day)
    assert judged.ledger.day("setpoints.review-due") == date(2027, 10, 1)
    about = [finding for finding in judged.findings if finding.subject == "page:setpoints" and "review" in finding.rule]
    assert [finding.rule for finding in about] == rules


def test_a_review_without_its_period_is_a_fault(tmp_path):
    content = sound_content(tmp_path / "c")
    edit(content / "setpoints.yaml", "setpoints:", "reviewed: 2026-10-01\nsetpoints:")
    with pytest.raises(ContentError, match="has no 'review-every'"):
        pipeline.judge(content, date(2026, 11, 25))
