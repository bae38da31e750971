"""One command builds all sites of a company: a broken one stops no other, and an index says how each stands."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from builder.base.errors import UsageError
from builder.cli import run
from builder.load.extended import site_folders
from builder.pages.sites_index import SiteRow, sites_page
from builder.publish.sites import refuse_unfit, row_of

SITES = Path(__file__).parent.parent / "sites" / "overlay"


@pytest.fixture
def sites(tmp_path):
    shutil.copytree(SITES, tmp_path / "sites")
    return tmp_path / "sites"


def test_what_is_only_extended_is_no_site_and_what_lost_its_inventory_is_one(sites):
    assert [path.name for path in site_folders(sites)] == ["north", "south"]
    (sites / "south/inventory.yaml").unlink()
    (sites / "notes").mkdir()
    assert [path.name for path in site_folders(sites)] == ["north", "south"]


def test_a_site_that_is_not_there_has_a_row_all_the_same(tmp_path):
    row = row_of(tmp_path / "south", "south", "its content is wrong")
    page, hrefs = sites_page([row, SiteRow(folder="north", name="North", revision="Revision 2", draft=False)])
    assert hrefs == {"site:north": "north/index.html"}
    assert "One site was not built" in str(page.blocks[0])
    assert "not built: its content is wrong" in str(page.blocks[1])
    assert "released: Revision 2" in str(page.blocks[1])


def test_an_index_is_put_over_nothing_else(tmp_path):
    with pytest.raises(UsageError, match="no site can be called 'assets'"):
        refuse_unfit(tmp_path, ["north", "assets"])
    (tmp_path / "SHA256SUMS").write_text("", encoding="utf-8")
    with pytest.raises(UsageError, match="is a site itself"):
        refuse_unfit(tmp_path, ["north"])


def test_all_and_content_are_not_given_together(sites, capsys):
    assert run(["build", "--all", str(sites), "--content", str(sites / "north")]) == 2
    assert "--all and --content" in capsys.readouterr().err
    assert run(["build", "--all", str(sites / "north")]) == 2
    assert "no site right below" in capsys.readouterr().err


@pytest.mark.usefixtures("without_book")
def test_two_sites_are_built_and_a_broken_one_is_told(sites, tmp_path, capsys):
    shutil.copytree(sites / "south", sites / "west")
    (sites / "west/areas.yaml").write_text("areas:\n  - {id: shed, nme: Shed}\n", encoding="utf-8")
    out = tmp_path / "out"
    call = ["build", "--all", str(sites), "--out", str(out), "--as-of", "2026-11-25"]
    assert run(call) == 1
    told = capsys.readouterr()
    assert "west/areas.yaml:2" in told.err
    assert "1 of 3 sites not built: west" in told.err
    index = (out / "index.html").read_text(encoding="utf-8")
    for name in ("north", "south"):
        assert (out / name / "index.html").is_file()
        assert f'href="{name}/index.html"' in index
    assert "not built: its content is wrong" in index
    assert "Draft, nothing released yet" in index
    assert index.count("25\u00a0Nov\u00a02026") == 2
    assert "<nav" not in index, "there is nothing to choose but the sites"
    for link in re.findall('(?:href|src)="([^"#]+)"', index):
        assert (out / link).is_file(), link

    assert run(["verify", str(out)]) == 0
    assert "checksums of north: " in capsys.readouterr().out
    (out / "index.html").write_text(index + " ", encoding="utf-8")
    (out / "south/stray.txt").write_text("", encoding="utf-8")
    assert run(["verify", str(out)]) == 1
    told = capsys.readouterr().err
    assert "fault: index.html: is not what" in told
    assert "fault: south/stray.txt: is not listed" in told
    (out / "south/stray.txt").unlink()

    (sites / "west/areas.yaml").unlink()
    shutil.rmtree(sites / "north")
    shutil.rmtree(sites / "coast")
    assert run(call) == 0
    told = capsys.readouterr()
    assert "nothing changed since" in told.out, "south, by the shared cache"
    assert "north is a site that no content below" in told.err
    assert "not built" not in (out / "index.html").read_text(encoding="utf-8")
