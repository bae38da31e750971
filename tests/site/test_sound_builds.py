"""Same content, date and versions give the same bytes; a change reaches every place; a failure harms nothing."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

from builder import cli
from tests.shared import digests, told_figures

ROOT = Path(__file__).parent.parent.parent
MINIMAL = ROOT / "tests" / "sites" / "minimal"
AS_OF = ("--as-of", "2026-11-25")
SAME_DAY = "1795564800"
"""The same day as seconds since 1970: 20 782 days of 86 400 s."""


def run(content, out, *extra, day=AS_OF, cwd=None, **environment):
    return subprocess.run(
        [sys.executable, "-m", "builder", "build", "--content", str(content), "--out", str(out), *day, *extra],
        env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
        cwd=cwd,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize(
    ("jobs", "environment"),
    [
        ("1", {"PYTHONHASHSEED": "1", "TZ": "Pacific/Auckland"}),
        ("3", {"PYTHONHASHSEED": "2", "TZ": "America/Los_Angeles", "LC_ALL": "C", "SOURCE_DATE_EPOCH": SAME_DAY}),
    ],
    ids=["one-job", "three-jobs"],
)
def test_bytes_do_not_depend_on_path_zone_locale_seed_or_jobs(tmp_path, minimal, jobs, environment):
    elsewhere = tmp_path / "another name" / "data"
    shutil.copytree(MINIMAL, elsewhere)
    day = () if "SOURCE_DATE_EPOCH" in environment else AS_OF
    done = run(elsewhere, tmp_path / "out", "--no-cache", "--jobs", jobs, day=day, cwd=tmp_path, **environment)
    assert done.returncode == 0, done.stderr
    assert digests(tmp_path / "out") == digests(minimal.out)


@pytest.mark.usefixtures("without_book")
def test_day_of_the_build_comes_from_source_date_epoch(tmp_path, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1764028800")  # 2025-11-25 00:00 UTC
    assert cli.run(["build", "--content", str(MINIMAL), "--out", str(tmp_path / "out"), "--quiet"]) == 0
    assert '"as_of": "2025-11-25"' in (tmp_path / "out" / "figures.json").read_text(encoding="utf-8")


def test_wrong_content_leaves_the_old_site_as_it_was(tmp_path, minimal):
    out = tmp_path / "site"
    shutil.copytree(minimal.out, out)
    before = digests(out)
    broken = tmp_path / "content"
    shutil.copytree(MINIMAL, broken)
    (broken / "setpoints.yaml").write_text("setpoints: 7\n", encoding="utf-8")
    done = run(broken, out)
    assert done.returncode == 1
    assert "setpoints.yaml:1" in done.stderr
    assert digests(out) == before


def test_wrong_usage_has_status_2(tmp_path):
    done = run(MINIMAL, tmp_path / "site", "--nonsense")
    assert done.returncode == 2
    assert not (tmp_path / "site").exists()


def test_a_number_changed_once_is_changed_wherever_it_is_printed(tmp_path, minimal):
    """Oxygen high alarm from 23.0 to 22.8 %vol: every page, card and book that printed the one prints the other."""
    content = tmp_path / "content"
    shutil.copytree(MINIMAL, content)
    path = content / "setpoints.yaml"
    old = path.read_text(encoding="utf-8")
    assert old.count("23.0 %vol") == 1
    path.write_text(old.replace("23.0 %vol", "22.8 %vol"), encoding="utf-8")
    out = tmp_path / "site"
    done = run(content, out)
    assert done.returncode == 0, done.stderr
    key = "setpoint.pit.oxygen.high"
    before = told_figures(minimal.out)[key]
    after = told_figures(out)[key]
    assert (before["text"], after["text"]) == ("23.0", "22.8")
    assert after["printed_on"] == before["printed_on"]
    kinds = {name.rpartition(".")[2] for name in after["printed_on"]}
    assert kinds >= {"html", "pdf"}
    for name in after["printed_on"]:
        if name.endswith(".html"):
            told = (out / name).read_text(encoding="utf-8")
        else:
            told = "\n".join(page.extract_text() for page in PdfReader(out / name).pages)
        assert "22.8" in told, name
