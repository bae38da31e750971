"""A planted change in any kind of file is found, also by somebody who mends the checksums."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import subprocess

import pytest

from builder import pipeline
from builder.base.errors import PublishError
from builder.cli import run
from builder.publish.versions import versions
from builder.render.jobs import Workshop
from builder.verify.report import Check
from builder.verify.signature import check_signatures, sign
from builder.verify.verify import check_sums, verify
from tests.release.release_kit import digests, linked_copy, overwrite


@pytest.fixture
def site(minimal, tmp_path):
    """A draft of one edition, free to be changed."""
    return linked_copy(minimal.out, tmp_path / "site")


def mend(root):
    """What a forger would do: write the list of checksums anew."""
    kept = {path: digest for path, digest in digests(root).items() if path != "SHA256SUMS"}
    overwrite(root / "SHA256SUMS", "".join(f"{kept[path]}  {path}\n" for path in sorted(kept)).encode())


def replace_once(path, before, after):
    text = path.read_text(encoding="utf-8")
    assert before in text, (path, before)
    overwrite(path, text.replace(before, after, 1).encode())


def test_a_sound_site_has_no_fault_and_says_what_was_checked(twice):
    report = verify(twice.out)
    assert report.faults == []
    counts = {check.what: check.count for check in report.checks}
    assert counts["checksums"] == len(digests(twice.out)) - 1
    assert counts["checksums of frozen revisions"] > 300
    assert counts["released site against its frozen copy"] > 100


@pytest.mark.parametrize(
    "path",
    [
        "index.html",
        "books/field.pdf",
        "cards/pit-entrant.pdf",
        "cards/sheets/a7-on-a4.pdf",
        "figures.json",
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
    assert check.faults == [f"{path} is not what SHA256SUMS lists: it was changed"]


def test_a_lost_and_an_added_file_are_found(site):
    (site / "index.html").unlink()
    (site / "extra.html").write_text("x", encoding="utf-8")
    check = Check("checksums")
    check_sums(site, check, "")
    assert check.faults == [
        "index.html is listed in SHA256SUMS, but missing",
        "extra.html is not listed in SHA256SUMS: nobody vouches for it",
    ]


def test_a_frozen_page_changed_with_both_lists_mended_differs_from_the_released_site(twice, tmp_path):
    root = linked_copy(twice.out, tmp_path / "site")
    frozen = root / "revisions" / "3"
    replace_once(frozen / "assets" / "site.css", "{", "{ ")
    mend(frozen)
    mend(root)
    assert verify(root).faults == ["assets/site.css is not what was frozen in revisions/3/"]


def test_the_command_says_what_it_found_and_has_status_1(site, capsys):
    replace_once(site / "areas" / "pit.html", "<span>19.5</span>", "<span>18.5</span>")
    assert run(["verify", str(site)]) == 1
    told = capsys.readouterr()
    assert "fault: areas/pit.html is not what SHA256SUMS lists" in told.err
    assert re.search(r"^checksums: [0-9]+, 1 wrong$", told.out, re.MULTILINE)


def test_a_folder_that_is_no_site_is_refused(tmp_path, capsys):
    assert run(["verify", str(tmp_path)]) == 1
    assert "is no published site" in capsys.readouterr().err


# ---- built again from the snapshot -------------------------------------------------------------


def rebuild(content, out, as_of):
    pipeline.build(content, out, as_of, release=True, shop=Workshop())


def test_a_revision_built_again_has_the_same_bytes(once):
    report = verify(once.out, rebuild=rebuild)
    (again,) = [check for check in report.checks if check.what == "revisions built again"]
    assert report.faults == []
    assert again.count == len(digests(once.out / "revisions" / "2"))


def test_a_snapshot_that_gives_other_bytes_is_found(once):
    def other(content, out, as_of):
        assert (content / "setpoints.yaml").is_file()
        assert as_of.isoformat() == "2026-11-25"
        made = linked_copy(once.out, out) / "revisions" / "2"
        overwrite(made / "figures.json", b"{}")
        (made / "index.html").unlink()

    assert verify(once.out, rebuild=other).faults == [
        "revisions/2/figures.json is not what its content gives when built again",
        "revisions/2/index.html is not what its content gives when built again",
    ]


def test_a_draft_built_again_from_its_content_has_the_same_bytes_or_says_which_have_not(minimal):
    def redraft(out, as_of):
        assert as_of.isoformat() == "2026-11-25"
        shutil.copytree(minimal.out, out)

    def other(out, _):
        overwrite(linked_copy(minimal.out, out) / "assets" / "exact.js", b"// other")

    def built_again(redraft):
        report = verify(minimal.out, rebuild=rebuild, redraft=redraft)
        return next(check for check in report.checks if check.what == "draft built again")

    same = built_again(redraft)
    assert (same.faults, same.count) == ([], len(digests(minimal.out)) - 1)
    assert built_again(other).faults == ["assets/exact.js is not what its content gives when built again"]
    assert built_again(None).note == "not asked for (--rebuild with --content)"


def test_other_bytes_with_other_libraries_say_which(minimal):
    def other(out, _):
        overwrite(linked_copy(minimal.out, out) / "books/field.pdf", b"%PDF-1.7 other")

    then = json.loads((minimal.out / "about.json").read_bytes())["versions"]
    assert {"python", "pango", "harfbuzz", "fontconfig", "weasyprint", "fonttools"} <= then.keys()
    assert then == versions()
    now = {**then, "pango": "0.0.1"}
    report = verify(minimal.out, rebuild=rebuild, redraft=other, versions=now)
    (again,) = [check for check in report.checks if check.what == "draft built again"]
    assert again.faults == ["books/field.pdf is not what its content gives when built again"]
    assert again.note == f"the draft was made with other versions: pango {then['pango']} then, 0.0.1 now"


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
    replace_once(site / "SHA256SUMS", "0", "1")
    assert signatures(site, keys / "trusted-signers").faults == [
        "SHA256SUMS.sig: not a signature of SHA256SUMS as it is"
    ]


def test_a_signature_by_anybody_else_is_no_good(site, keys):
    sign(site, keys / "other")
    assert signatures(site, keys / "trusted-signers").faults == ["SHA256SUMS.sig: not by anybody in trusted-signers"]


def test_a_site_that_must_be_signed_and_is_not_is_at_fault(site, keys):
    assert signatures(site, keys / "trusted-signers").faults == ["SHA256SUMS.sig is missing: the site is not signed"]
    assert signatures(site, None).faults == []


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
