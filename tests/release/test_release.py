"""A release is refused unless all holds, frozen for good, and survives being killed."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
from datetime import date, timedelta
from multiprocessing import get_context
from pathlib import Path

import pytest

from builder import building
from builder.base.errors import ContentError, PublishError
from builder.publish import staging
from builder.publish.freeze import refuse_other_bytes
from builder.release import release as releasing
from builder.release.release import release
from builder.render.jobs import Workshop
from tests.release.forgery import mend
from tests.release.release_kit import FIRST_DAY, MINIMAL, ROOT, SECOND_DAY, asked, digests, edit, sound_content
from tests.shared import built

DAY_BEFORE = FIRST_DAY - timedelta(days=1)


def test_the_revision_is_entered_and_everything_frozen(once):
    assert (once.content / "revisions" / "2.yaml").read_text(encoding="utf-8") == (
        'number: 2\neffective: 2026-11-25\nreason: "Reason 2"\nprepared: "A. Writer, lead"\n'
        'reviewed: "B. Reader"\napproved: "C. Head"\n'
    )
    frozen = once.out / "revisions" / "2"
    assert digests(frozen / "content") == digests(once.content)
    about = json.loads((frozen / "about.json").read_text(encoding="utf-8"))
    assert (about["number"], about["as_of"], about["approved"]) == (2, "2026-11-25", "C. Head")
    assert {"builder", "weasyprint", "pydyf", "fonttools"} <= about["versions"].keys()
    for folder in (once.out, frozen):
        done = subprocess.run(["sha256sum", "--strict", "--quiet", "-c", "SHA256SUMS"], cwd=folder, check=False)
        assert done.returncode == 0
        listed = {line.split("  ")[1] for line in (folder / "SHA256SUMS").read_text().splitlines()}
        assert digests(folder).keys() - listed == {"SHA256SUMS"}


def test_nothing_released_is_marked_as_a_draft(once):
    pages = list(once.out.rglob("*.html"))
    assert len(pages) > 40
    assert [path for path in pages if "Draft, not released" in path.read_text(encoding="utf-8")] == []


@pytest.mark.usefixtures("without_book")
def test_a_draft_after_it_keeps_every_frozen_byte_and_links_to_it(twice, tmp_path):
    out = tmp_path / "site"
    shutil.copytree(twice.out, out)
    before = digests(out / "revisions")
    built(twice.content, out, SECOND_DAY)
    assert digests(out / "revisions") == before
    page = (out / "program.html").read_text(encoding="utf-8")
    assert "Draft after revision 3" in page
    assert 'href="revisions/2/index.html"' in page
    assert 'href="revisions/3/differences.html"' in page
    assert "not in this folder" in page  # of revision 1, which the content tells of


def refused(content, out, day, wanted, error=PublishError):
    """The message of a refusal that changed nothing."""
    before = digests(content), digests(out) if out.exists() else None
    with pytest.raises(error) as caught:
        release(content, out, day, wanted)
    assert (digests(content), digests(out) if out.exists() else None) == before
    return str(caught.value)


@pytest.mark.parametrize("number", [1, 3])
def test_any_number_but_the_next_is_refused(tmp_path, number):
    found = refused(sound_content(tmp_path / "c"), tmp_path / "s", FIRST_DAY, asked(number, FIRST_DAY))
    assert found == f"number {number} is refused: revision 1 is the last one; allowed: 2"


def test_a_date_before_the_last_revision_is_refused(tmp_path):
    found = refused(sound_content(tmp_path / "c"), tmp_path / "s", FIRST_DAY, asked(2, date(2026, 9, 30)))
    assert found == "effective 2026-09-30 is before revision 1; allowed: 2026-10-01 or later"


def test_a_date_after_the_day_of_the_release_is_refused(tmp_path):
    wanted = asked(2, FIRST_DAY + timedelta(days=1))
    found = refused(sound_content(tmp_path / "c"), tmp_path / "s", FIRST_DAY, wanted, ContentError)
    assert "revision 2 takes effect on 2026-11-26" in found


@pytest.mark.parametrize("name", ["reason", "prepared", "reviewed", "approved"])
def test_an_empty_text_is_refused(tmp_path, name):
    found = refused(sound_content(tmp_path / "c"), tmp_path / "s", FIRST_DAY, asked(2, FIRST_DAY, **{name: " "}))
    assert found == f"{name} is empty; allowed: a text"


@pytest.mark.parametrize(
    ("one", "other"), [("prepared", "reviewed"), ("prepared", "approved"), ("reviewed", "approved")]
)
def test_one_person_in_two_parts_is_refused_where_the_site_says_so(tmp_path, one, other):
    content = sound_content(tmp_path / "c")
    edit(content / "site.yaml", "  owner: Safety lead", "  owner: Safety lead\n  different-persons: true")
    wanted = asked(2, FIRST_DAY, **{one: "D. Both, lead", other: "d.  both, site manager"})
    found = refused(content, tmp_path / "s", FIRST_DAY, wanted)
    assert found.startswith(f"{one} and {other} are both 'D. Both, lead'")


def test_a_stop_finding_refuses_it(tmp_path):
    content = tmp_path / "c"
    shutil.copytree(MINIMAL, content)
    found = refused(content, tmp_path / "s", FIRST_DAY, asked(2, FIRST_DAY))
    assert found.startswith("1 stop finding(s), so nothing is released:\n  inventory.yaml:")


def test_names_cannot_become_yaml():
    wanted = asked(2, FIRST_DAY, reason='a: "b" # c\nnumber: 9', prepared="[x]")
    from builder.load.yaml_lines import readable_yaml

    node, _ = readable_yaml(wanted.as_yaml(), "2.yaml")
    assert node.get("reason").text == 'a: "b" # c\nnumber: 9'
    assert node.get("prepared").text == "[x]"
    assert node.get("number").text == "2"


def test_a_second_build_with_other_bytes_is_refused_and_says_which(once):
    files = {
        f"revisions/2/{path.relative_to(once.out / 'revisions/2').as_posix()}": path.read_bytes()
        for path in (once.out / "revisions" / "2").rglob("*")
        if path.is_file()
    }
    refuse_other_bytes(once.out, 2, files)
    changed = {**files, "revisions/2/index.html": b"x", "revisions/2/more.html": b"x"}
    del changed["revisions/2/areas/pit.html"]
    with pytest.raises(PublishError, match=r"would become another: areas/pit\.html, index\.html, more\.html; nothing"):
        refuse_other_bytes(once.out, 2, changed)


def test_a_build_is_refused_while_the_content_does_not_tell_of_a_release(once, tmp_path):
    content = tmp_path / "c"
    shutil.copytree(once.content, content)
    (content / "revisions" / "2.yaml").unlink()
    before = digests(once.out)
    with pytest.raises(PublishError, match=r"copy revisions/2/content/revisions/2\.yaml of the site there"):
        building.build(content, once.out, FIRST_DAY)
    assert digests(once.out) == before


@pytest.mark.parametrize(
    ("before", "after", "what"),
    [("2026-11-25", "2026-10-02", "effective"), ("C. Head", "D. Other", "approved"), ("Reason 2", "None", "reason")],
)
def test_an_entry_that_was_changed_after_its_release_is_refused(once, tmp_path, before, after, what):
    """Else the draft and every later release would tell another date or name than the frozen copy that they link to."""
    content = tmp_path / "c"
    shutil.copytree(once.content, content)
    edit(content / "revisions" / "2.yaml", before, after)
    kept = digests(once.out)
    found = rf"revisions/2\.yaml tells otherwise of revision 2 than its release \({what}\): copy revisions/2/content"
    with pytest.raises(PublishError, match=found):
        building.build(content, once.out, SECOND_DAY)
    assert digests(once.out) == kept


def test_a_release_judged_on_a_day_before_the_last_one_is_refused(twice, tmp_path):
    """Records and due dates of an earlier day would stand in the later revision."""
    content, out = (shutil.copytree(twice.content.parent / name, tmp_path / name) for name in ("content", "site"))
    edit(out / "revisions" / "3" / "about.json", f'"as_of": "{SECOND_DAY}"', '"as_of": "2027-02-01"')
    mend(out)
    found = refused(content, out, date(2027, 1, 31), asked(4, date(2027, 1, 31)))
    told = "revision 4 would be judged on 2027-01-31, and the one before it was on 2027-02-01"
    assert found == f"{told}; allowed: that day or later"


# ---- killed in the middle -------------------------------------------------------------


def kill(*_, **__):
    os.kill(os.getpid(), signal.SIGKILL)


@pytest.fixture
def drawn_before(once, monkeypatch):
    """A release draws nothing: it publishes the files of ``once``, which building again is shown to give below."""
    made = {path.relative_to(once.out).as_posix(): path for path in once.out.rglob("*") if path.is_file()}
    files = {path: file.read_bytes() for path, file in made.items() if path not in {"README.md", "SHA256SUMS"}}
    monkeypatch.setattr(building, "release_files", lambda *_, **__: (None, files))


def killed_release(content, out, module, name):
    """Release in another process that is killed where ``module.name`` would be called."""

    def work():
        setattr(module, name, kill)
        release(content, out, FIRST_DAY, asked(2, FIRST_DAY), shop=Workshop())

    process = get_context("fork").Process(target=work)
    process.start()
    process.join()
    return process.exitcode


@pytest.mark.usefixtures("drawn_before")
def test_killed_before_the_swap_it_leaves_all_as_it_was(minimal, tmp_path):
    content, out = sound_content(tmp_path / "c"), tmp_path / "site"
    shutil.copytree(minimal.out, out)
    before = digests(content), digests(out)
    assert killed_release(content, out, staging, "swap") == -signal.SIGKILL
    assert (digests(content), digests(out)) == before


@pytest.fixture
def unentered(once, monkeypatch, tmp_path):
    """Content and site of a release that was killed between the swap and the last step."""
    content, out = sound_content(tmp_path / "c"), tmp_path / "site"
    with monkeypatch.context() as patch:
        patch.setattr(building, "build", lambda *_, **__: shutil.copytree(once.out, out))  # the swap was done
        assert killed_release(content, out, releasing, "enter") == -signal.SIGKILL
    assert not (content / "revisions" / "2.yaml").exists()
    return content, out


@pytest.mark.parametrize(
    "day", [FIRST_DAY, SECOND_DAY, date(2028, 1, 1)], ids=["that day", "a week later", "years later"]
)
@pytest.mark.parametrize("effective", [None, FIRST_DAY], ids=["of the day it was given", "told"])
def test_killed_after_the_swap_the_same_call_completes_it_on_any_day(once, unentered, day, effective):
    content, out = unentered
    assert release(content, out, day, asked(2, effective)) is None
    assert digests(content) == digests(once.content)
    assert digests(out) == digests(once.out)


@pytest.mark.parametrize("other", [{"reason": "Another"}, {"approved": "D. Other"}], ids=["reason", "name"])
def test_another_call_does_not_complete_it(unentered, other):
    found = refused(*unentered, SECOND_DAY, asked(2, None, **other))
    assert "the site holds revision 2 already, made from other content: its date, reason or names" in found


def test_changed_content_does_not_complete_it(unentered):
    content, out = unentered
    edit(content / "setpoints.yaml", "Out now. Stay out.", "Out now.")
    found = refused(content, out, SECOND_DAY, asked(2, None))
    assert "made from other content: setpoints.yaml; allowed: the same command and content" in found


@pytest.mark.usefixtures("drawn_before")
def test_what_a_killed_release_copied_lies_beside_the_site_and_goes_with_the_next(once, tmp_path):
    content, out = sound_content(tmp_path / "c"), tmp_path / "site"
    assert killed_release(content, out, building, "build") == -signal.SIGKILL
    (left,) = tmp_path.glob("site.release-*")
    assert (left / "c" / "revisions" / "2.yaml").is_file()
    assert list(Path(tempfile.gettempdir()).glob("handbook-release-*")) == []
    release(content, out, FIRST_DAY, asked(2, FIRST_DAY))
    assert sorted(path.name for path in tmp_path.iterdir()) == ["c", "site"]
    assert digests(out) == digests(once.out)


# ---- the same bytes everywhere --------------------------------------------------------------


def test_another_checkout_zone_locale_and_seed_give_the_same_frozen_bytes(once, tmp_path):
    checkout = tmp_path / "another check out"
    for name in ("builder", "templates"):
        shutil.copytree(ROOT / name, checkout / name, ignore=shutil.ignore_patterns("__pycache__"))
    content = sound_content(checkout / "data")
    environment = {"PYTHONPATH": str(checkout), "PYTHONHASHSEED": "7", "TZ": "Pacific/Auckland", "LC_ALL": "C"}
    command = ["release", "--number", "2", "--reason", "Reason 2", "--prepared", "A. Writer, lead"]
    command += ["--reviewed", "B. Reader", "--approved", "C. Head", "--as-of", FIRST_DAY.isoformat(), "--no-cache"]
    done = subprocess.run(
        [sys.executable, "-m", "builder", *command, "--content", str(content), "--out", "made"],
        env={**os.environ, **environment},
        cwd=checkout,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "released: revision 2" in done.stdout
    assert digests(checkout / "made") == digests(once.out)
