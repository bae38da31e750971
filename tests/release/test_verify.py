"""A release says nothing wrong of itself; whatever is changed in it is found, also by somebody who mends every list."""

from __future__ import annotations

import hashlib
import io
import json
import shutil
import subprocess

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name

from builder.base.errors import ArchiveError, PublishError
from builder.cli import run
from builder.publish.versions import versions
from builder.render.jobs import Workshop
from builder.verify.again import WORDS_ALONE
from builder.verify.paper import read_paper
from builder.verify.report import Check
from builder.verify.signature import check_signatures, sign
from builder.verify.sums import check_sums
from builder.verify.verify import OWN_DATA, SAID_AGAIN, verify
from tests.conftest import DEMO
from tests.release.forgery import exchange, mend, redraw, replace_text
from tests.release.release_kit import FIRST_DAY, digests, edit, linked_copy, overwrite
from tests.shared import built
from tests.trust.long import LONG


@pytest.fixture
def site(minimal, tmp_path):
    """A draft of one edition, free to be changed."""
    return linked_copy(minimal.out, tmp_path / "site")


@pytest.fixture
def released(once, tmp_path):
    """A release, free to be changed."""
    return linked_copy(once.out, tmp_path / "site")


def told(report):
    return [str(fault) for fault in report.faults]


def counts(report):
    return {check.what: check.count for check in report.checks}


# ---- nothing is wrong ----------------------------------------------------------------------------


def test_a_fresh_release_has_no_fault_and_everything_in_it_is_said_again(twice):
    report = verify(twice.out)
    assert told(report) == []
    found, files = counts(report), digests(twice.out)
    assert found["checksums"] == len(files) - 1
    # Of the site and both frozen revisions everything but the lists of checksums themselves.
    assert found[SAID_AGAIN] == len([path for path in files if not path.endswith("SHA256SUMS")])
    (note,) = [check.note for check in report.checks if check.what == SAID_AGAIN]
    assert note == WORDS_ALONE  # said once, however many editions there are


@pytest.mark.skipif(not LONG, reason="says the whole demo again; `make trust` does it")
def test_a_fresh_draft_of_the_demo_has_no_fault(demo):
    report = verify(demo.out, content=DEMO)
    assert told(report) == []
    assert counts(report)[SAID_AGAIN] == len(digests(demo.out)) - 1


def test_a_draft_over_a_release_has_no_fault_and_both_are_said_again(once, tmp_path):
    root = linked_copy(once.out, tmp_path / "site")
    content = shutil.copytree(once.content, tmp_path / "content")
    edit(content / "setpoints.yaml", "Out now. Stay out.", "Out now. Wait there.")
    built(content, root, FIRST_DAY)
    report = verify(root, content=content, jobs=2)
    assert told(report) == []
    assert counts(report)[SAID_AGAIN] == len([path for path in digests(root) if not path.endswith("SHA256SUMS")])


def test_a_draft_without_its_content_is_held_against_its_own_data_and_says_so(minimal):
    report = verify(minimal.out)
    assert told(report) == []
    notes = {check.what: check.note for check in report.checks}
    assert "give --content" in notes[SAID_AGAIN]
    assert counts(report)[OWN_DATA] > 20


# ---- changed, with all checksums and frozen copies made anew -----------------------------------------

CHANGES = {
    "one exact value": ("ledger/001.json", replace_text, '"exact":"39/2"', '"exact":"37/2"'),
    "one input": ("ledger/001.json", replace_text, '"text":"19.5 %vol"', '"text":"18.5 %vol"'),
    "one figure's text": ("data/figures.csv", replace_text, "19.5 %vol", "18.5 %vol"),
    "one word in a card's PDF": ("cards/pit-entrant.pdf", redraw, "now", "own"),
    "one digit on a sheet of cards": ("cards/sheets/a7-on-a4.pdf", redraw, "19.5", "15.9"),
    "one word on status.html": ("cards/status.html", replace_text, ">What changed on it<", ">What stayed on it<"),
    "two table cells exchanged": ("setpoints.html", exchange, "<span>19.5</span>", "<span>23.0</span>"),
    "a word in the book": ("books/handbook.pdf", redraw, "gas", "sag"),
    "a word of a log sheet": ("forms/bump-test-pit.pdf", redraw, "Unit", "Unti"),
    "an alarm action": ("texts.json", replace_text, "Out now. Stay out.", "Out now. Stay in."),
    "a row of a table": ("data/units.csv", replace_text, "T2-0001", "T2-0007"),
    "an event": ("calendar/all.ics", replace_text, "DATE:20270228", "DATE:20280228"),
    "a script": ("assets/due.js", replace_text, "data-until", "data-under"),
    "a style": ("assets/site.css", replace_text, "{", "{ "),
    "data of a script": ("assets/derivations/setpoint.pit.js", replace_text, "19.5", "18.5"),
    "a link": ("index.html", replace_text, 'href="setpoints.html"', 'href="gases/index.html"'),
    "a finding": ("findings.json", replace_text, "%vol", "%LEL"),
    "the reason of the release": ("program.html", replace_text, "Reason 2", "Reason 3"),
}  # fmt: skip
"""(file, how, from what, to what): all are planted at once."""


@pytest.fixture(scope="module")
def forged(once, tmp_path_factory):
    """What is found where all of it was changed."""
    root = linked_copy(once.out, tmp_path_factory.mktemp("forged") / "site")
    for path, change, *texts in CHANGES.values():
        change(root, path, *texts)
    (root / "extra.html").write_text("x", encoding="utf-8")
    mend(root)
    return verify(root)


@pytest.mark.parametrize("what", CHANGES)
def test_a_change_is_found_in_the_site_and_in_its_frozen_copy(forged, what):
    path, change, _, after = CHANGES[what]
    for place in (path, f"revisions/2/{path}"):
        found = [fault for fault in forged.faults if fault.path == place]
        assert found, place
        assert any(fault.wanted != fault.found for fault in found)
        if change is replace_text:
            assert any(part in fault.found for fault in found for part in after.strip("<>").split()), found


def test_a_file_that_was_added_and_listed_is_found(forged):
    assert "extra.html: is there, though nothing in the content makes it" in told(forged)


def test_only_what_was_changed_is_told(forged):
    planted = {path for path, *_ in CHANGES.values()} | {"extra.html"}
    assert {fault.path.removeprefix("revisions/2/") for fault in forged.faults} == planted


AMONG_REVISIONS = ("revisions/notes.html", "revisions/3/index.html", "revisions/02/index.html", "revisions/3.sig")


def test_what_was_put_among_revisions_is_found_though_every_list_was_mended(released):
    named_alike = ("cards/SHA256SUMS", "old-SHA256SUMS", "Thumbs.db")
    for path in (*AMONG_REVISIONS, *named_alike):
        (released / path).parent.mkdir(exist_ok=True)
        (released / path).write_bytes(b"put there")
    shutil.copy(released / "revisions" / "2" / "about.json", released / "revisions" / "02")
    mend(released)
    found = {fault.path for fault in verify(released).faults}
    assert {*AMONG_REVISIONS, *named_alike} <= found


def test_a_release_that_is_made_to_pass_for_a_draft_is_found(released):
    """A draft keeps no content that its words could be held against, so nobody may take a release for one."""
    shutil.copy(released / "revisions" / "2" / "about.json", released)
    overwrite(
        released / "areas" / "pit.html", (released / "areas" / "pit.html").read_bytes().replace(b"Out now", b"Stay")
    )
    mend(released)
    assert "areas/pit.html: is marked as no draft, though about.json says it is one" in told(verify(released))


def over_its_words(pdf):
    note = {"/Type": Name.Annot, "/Subtype": Name.FreeText, "/Rect": [10, 10, 90, 30], "/Contents": "Stay in."}
    pdf.pages[0].Annots = Array([pdf.make_indirect(Dictionary(note))])


def running(pdf):
    pdf.Root.OpenAction = Dictionary(S=Name.JavaScript, JS="app.alert(1)")


def cropped(pdf):
    pdf.pages[0].CropBox = Array([0, 0, 50, 50])


def leading_out(pdf):
    note = {"/Type": Name.Annot, "/Subtype": Name.Link, "/Rect": [10, 10, 90, 30]}
    file = Dictionary(Type=Name.Filespec, F="../../other.pdf", UF="../../other.pdf")
    note["/A"] = Dictionary(Type=Name.Action, S=Name.GoToR, F=file, D="pit")
    pdf.pages[0].Annots = Array([pdf.make_indirect(Dictionary(note))])


@pytest.mark.parametrize(
    ("change", "what"),
    [(over_its_words, "/FreeText"), (running, "/OpenAction"), (cropped, "/CropBox"), (leading_out, "/A")],
)
def test_what_lies_over_the_words_of_a_pdf_or_runs_in_it_is_found(once, change, what):
    """ISO 32000-1, 12.5 (annotations), 12.6 (actions) and 14.11.2 (page boundaries): none of them changes a word."""
    made = io.BytesIO()
    with pikepdf.open(once.out / "cards" / "pit-entrant.pdf") as pdf:
        change(pdf)
        pdf.save(made)
    with pytest.raises(ArchiveError, match=f"holds what no paper of this builder has: {what}"):
        read_paper(made.getvalue(), "cards/pit-entrant.pdf")


def test_content_changed_with_its_copy_contradicts_what_was_published(released):
    content = released / "revisions" / "2" / "content" / "setpoints.yaml"
    overwrite(content, content.read_bytes().replace(b"23.0 %vol", b"22.8 %vol"))
    mend(released)
    assert any(fault.path == "cards/pit-entrant.pdf" for fault in verify(released).faults)


def test_content_that_can_no_longer_be_read_is_told(released):
    overwrite(released / "revisions" / "2" / "content" / "setpoints.yaml", b"setpoints: 7\n")
    mend(released)
    assert any(one.startswith("revisions/2/: its content cannot be said again") for one in told(verify(released)))


def test_a_figure_on_a_page_of_a_draft_is_held_against_its_ledger_without_content(site):
    replace_text(site, "areas/pit.html", "<span>19.5</span>", "<span>18.5</span>")
    redraw(site, "cards/pit-entrant.pdf", "now", "own")
    mend(site)
    found = told(verify(site))
    assert any(one.startswith("areas/pit.html: figure setpoint.pit.oxygen.low") for one in found)
    assert any(one.startswith("cards/pit-entrant.pdf: lacks words") for one in found), found


def test_a_release_by_another_builder_is_held_against_its_own_data_and_says_so(released):
    versions_of = f'"builder": "{versions()["builder"]}"'
    replace_text(released, "revisions/2/about.json", versions_of, '"builder": "0.0.1"')
    mend(released)
    report = verify(released)
    assert told(report) == []
    notes = {check.what: check.note for check in report.checks}
    assert "revision 2 was made by builder 0.0.1" in notes[SAID_AGAIN]


# ---- what the command says ---------------------------------------------------------------------------


def test_the_command_shows_some_writes_all_and_recommends_a_signature(site, tmp_path, capsys):
    for number in range(20):
        (site / f"extra-{number:02}.html").write_text('<strong class="draft">x', encoding="utf-8")
    assert run(["verify", str(site), "--json", str(tmp_path / "all.json")]) == 1
    shown = capsys.readouterr()
    assert "fault: extra-00.html: is not listed in SHA256SUMS" in shown.err
    assert "and 8 more, all of them in" in shown.err
    assert "checksums: " in shown.out
    assert "20 wrong" in shown.out
    assert "sign it with `handbook sign`" in shown.out
    every = json.loads((tmp_path / "all.json").read_text(encoding="utf-8"))
    assert [one["path"] for one in every["differences"]] == [f"extra-{number:02}.html" for number in range(20)]
    assert set(every["differences"][0]) == {"path", "what", "wanted", "found"}


def test_a_folder_that_is_no_site_is_refused(tmp_path, capsys):
    assert run(["verify", str(tmp_path)]) == 1
    assert "is no published site" in capsys.readouterr().err


# ---- checksums -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "path",
    [
        "index.html",
        "books/handbook.pdf",
        "cards/pit-entrant.pdf",
        "cards/sheets/a7-on-a4.pdf",
        "figures.json",
        "ledger/001.json",
        "findings.json",
        "texts.json",
        "cards.json",
        "assets/site.css",
        "assets/status.js",
        "assets/fonts/regular.woff2",
        "data/units.csv",
        "README.md",
    ],
)
def test_one_byte_of_any_kind_of_file_breaks_its_checksum(site, path):
    data = bytearray((site / path).read_bytes())
    data[len(data) // 2] ^= 1
    overwrite(site / path, bytes(data))
    check = Check("checksums")
    check_sums(site, check, "")
    assert [str(one) for one in check.faults] == [f"{path}: is not what SHA256SUMS lists: it was changed"]


# ---- printed again ----------------------------------------------------------------------------------


def test_a_revision_printed_again_has_the_same_bytes(once):
    with Workshop() as shop:
        assert told(verify(once.out, shop=shop)) == []


def test_other_versions_are_told_beside_what_differs(released):
    now = versions()["zlib"]
    replace_text(released, "revisions/2/about.json", f'"zlib": "{now}"', '"zlib": "0.0.1"')
    mend(released)
    report = verify(released)
    notes = {check.what: check.note for check in report.checks}
    assert f"zlib 0.0.1 then, {now} now" in notes[SAID_AGAIN]


# ---- signatures ------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def keys(tmp_path_factory):
    """Two keys made for these tests, and the list that trusts the first."""
    folder = tmp_path_factory.mktemp("keys")
    for name in ("lead", "other"):
        command = ["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C", name, "-f", str(folder / name)]
        subprocess.run(command, check=True)
    public = (folder / "lead.pub").read_text(encoding="utf-8")
    (folder / "trusted-signers").write_text(
        f'lead@example.org namespaces="detector-handbook" {public}', encoding="utf-8"
    )
    return folder


def signatures(root, signers):
    check = Check("signatures")
    check_signatures(root, signers, check)
    return check


def faults(root, signers):
    return [str(fault) for fault in signatures(root, signers).faults]


def test_a_signature_by_a_trusted_signer_is_good_and_covers_revisions(once, keys, tmp_path):
    root = linked_copy(once.out, tmp_path / "site")
    made = sign(root, keys / "lead")
    assert [path.relative_to(root).as_posix() for path in made] == ["SHA256SUMS.sig", "revisions/2.sig"]
    check = signatures(root, keys / "trusted-signers")
    assert (check.faults, check.note) == ([], "signed by lead@example.org")
    sums = Check("checksums")
    check_sums(root, sums, "")
    assert sums.faults == []


def test_a_list_mended_after_signing_is_found(site, keys):
    sign(site, keys / "lead")
    mend(site)
    text = (site / "SHA256SUMS").read_text(encoding="utf-8")
    overwrite(site / "SHA256SUMS", text.replace("0", "1", 1).encode())
    assert faults(site, keys / "trusted-signers") == ["SHA256SUMS.sig: not a signature of SHA256SUMS as it is"]


def test_a_signature_by_anybody_else_is_no_good(site, keys):
    sign(site, keys / "other")
    assert faults(site, keys / "trusted-signers") == ["SHA256SUMS.sig: not by anybody in trusted-signers"]


def test_a_site_that_must_be_signed_and_is_not_is_at_fault(site, keys):
    assert faults(site, keys / "trusted-signers") == ["SHA256SUMS.sig: is missing: the site is not signed"]
    assert faults(site, None) == []


def test_what_is_not_as_its_list_says_is_not_signed(site, keys):
    """A signature says who answers for a site, and nobody answers for one that somebody else changed."""
    overwrite(site / "setpoints.html", b"changed")
    (site / "notes.html").write_text("x", encoding="utf-8")
    with pytest.raises(PublishError, match=r"not what its list says: setpoints\.html: is not what .* and 1 more"):
        sign(site, keys / "lead")
    assert not (site / "SHA256SUMS.sig").exists()


def test_a_missing_key_is_named(site, tmp_path):
    with pytest.raises(PublishError, match="no key"):
        sign(site, tmp_path / "nothing")


def test_a_build_after_signing_drops_the_signature_of_the_site_and_keeps_that_of_the_revision(once, keys, tmp_path):
    root = tmp_path / "site"
    linked_copy(once.out, root)
    sign(root, keys / "lead")
    kept = (root / "revisions" / "2.sig").read_bytes()
    from builder.publish.staging import publish

    publish({"index.html": b"x"}, root)
    assert not (root / "SHA256SUMS.sig").exists()
    assert (root / "revisions" / "2.sig").read_bytes() == kept
    assert hashlib.sha256(kept).hexdigest() in (root / "SHA256SUMS").read_text()
