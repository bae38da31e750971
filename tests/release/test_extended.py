"""A site that extends other folders: released, verified and packed with all that it is made from."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from builder.base.errors import PublishError
from builder.release.evidence import evidence, verify_pack
from builder.release.release import release
from builder.render.book import Bound
from builder.verify.verify import SAID_AGAIN, verify
from tests.release.release_kit import FIRST_DAY, asked, edit
from tests.shared import changed, made_once, root_of, told_figures, workshop
from tests.trust.long import turn

SITES = Path(__file__).parent.parent / "sites" / "overlay"


pytestmark = pytest.mark.usefixtures("without_book")


def released(folder):
    shutil.copytree(SITES, folder / "sites")
    with workshop() as shop, pytest.MonkeyPatch.context() as patched:
        patched.setattr("builder.render.site.start_books", lambda *_: lambda _: Bound({}, [], {}))
        release(folder / "sites/north", folder / "site", FIRST_DAY, asked(1, FIRST_DAY), shop=shop)


@pytest.fixture(scope="module")
def north(tmp_path_factory):
    folder = made_once(root_of(tmp_path_factory), "released-extended", released)
    yield folder
    assert changed(folder) == [], "a test changed a release that others read"


def test_a_release_keeps_copies_of_all_that_it_extends_and_says_itself_again_without_the_folders(north, tmp_path):
    kept = north / "site/revisions/1/content"
    for name in ("company", "coast"):
        files = [path for path in (SITES / name).rglob("*") if path.is_file()]
        assert files
        for path in files:
            assert (kept / "extended" / name / path.relative_to(SITES / name)).read_bytes() == path.read_bytes()
    shutil.copytree(north / "site", tmp_path / "elsewhere/site")
    report = verify(tmp_path / "elsewhere/site")
    assert [str(fault) for fault in report.faults] == []
    assert {check.what: check.count for check in report.checks}[SAID_AGAIN] > 100


def test_a_value_changed_in_a_kept_copy_is_found(north, tmp_path):
    shutil.copytree(north / "site", tmp_path / "site")
    edit(tmp_path / "site/revisions/1/content/extended/company/setpoints.yaml", "{true: 10 %LEL", "{true: 9 %LEL")
    assert any("setpoint.pit.flammable.high" in str(fault) for fault in verify(tmp_path / "site").faults)


def test_the_line_that_a_value_came_from_is_printed_with_its_folder(north):
    figure = told_figures(north / "site")["setpoint.pit.flammable.high"]
    assert "../company/setpoints.yaml" in json.dumps(figure, default=str)
    pages = [path.read_text(encoding="utf-8") for path in (north / "site/figures").rglob("*.html")]
    assert any("../company/setpoints.yaml:6" in page for page in pages)
    assert any("../coast/checks.yaml:4" in page for page in pages)


def test_the_same_number_is_not_released_from_another_company(north, tmp_path):
    shutil.copytree(north, tmp_path / "all")
    edit(tmp_path / "all/sites/company/setpoints.yaml", "{true: 10 %LEL", "{true: 9 %LEL")
    (tmp_path / "all/sites/north/revisions/1.yaml").unlink()
    with pytest.raises(PublishError, match=r"extended/company/setpoints\.yaml"):
        release(tmp_path / "all/sites/north", tmp_path / "all/site", FIRST_DAY, asked(1, FIRST_DAY))


@turn(1, 3)
def test_a_pack_of_evidence_is_made_from_the_extended_content_and_holds_against_it(north, tmp_path):
    shutil.copytree(north, tmp_path / "all")
    evidence(tmp_path / "all/sites/north", tmp_path / "all/site", FIRST_DAY, tmp_path / "pack")
    whole = {"of": tmp_path / "all/site", "content": tmp_path / "all/sites/north"}
    assert [str(fault) for fault in verify_pack(tmp_path / "pack", **whole).faults] == []
    edit(tmp_path / "all/sites/coast/checks.yaml", "interval: 3 months", "interval: 2 months")
    assert verify_pack(tmp_path / "pack", **whole).faults


@turn(2, 3)
def test_a_release_with_templates_logo_and_colour_of_its_own_says_itself_again(tmp_path):
    for name in ("own", "minimal"):
        shutil.copytree(SITES.parent / name, tmp_path / name)
    with workshop() as shop:
        release(tmp_path / "own", tmp_path / "site", FIRST_DAY, asked(1, FIRST_DAY), shop=shop)
    frozen = tmp_path / "site/revisions/1"
    assert (frozen / "content/templates/gather.md").is_file()
    assert (frozen / "assets/logo.svg").is_file()
    assert "--accent: #7a2e1d;" in (frozen / "assets/site.css").read_text(encoding="utf-8")
    shutil.rmtree(tmp_path / "minimal")
    assert [str(fault) for fault in verify(tmp_path / "site").faults] == []
    edit(frozen / "content/templates/gather.md", "to the flag. The", "to the road. The")
    assert any("cards/pit-entrant" in str(fault) for fault in verify(tmp_path / "site").faults)
