"""Rounds of a preview: an ordinary build each, and what it said."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from builder.preview.rounds import Rounds, changes, draft_folder

MINIMAL = Path(__file__).parent.parent / "sites" / "minimal"


def test_a_fault_is_told_with_file_and_line_and_what_stands_is_left(tmp_path):
    content, out = tmp_path / "content", tmp_path / "out"
    shutil.copytree(MINIMAL, content)
    (content / "areas.yaml").write_text("- id: {pit\n", encoding="utf-8")
    rounds = Rounds(["build", "--content", str(content), "--out", str(out)])
    good, said, _ = rounds.run()
    assert not good
    assert f"{content}/areas.yaml:" in said
    assert "- id: {pit" in said, "the line itself"
    assert "..." not in said, "progress is for a terminal"
    assert json.loads(rounds.state()) == {"site": 0, "fault": said, "busy": False}
    assert not out.exists()


def test_a_round_that_ends_well_counts_as_a_new_site_and_clears_the_fault():
    rounds = Rounds(["convert", "1", "ppm"])
    rounds.run()
    assert json.loads(rounds.state())["fault"] != ""
    rounds = Rounds(["--version"])
    assert rounds.run()[0]
    assert json.loads(rounds.state()) == {"site": 1, "fault": "", "busy": False}


@pytest.mark.papers
def test_a_round_finds_loaded_what_a_build_needs(tmp_path):
    arguments = ["build", "--content", str(MINIMAL), "--out", str(tmp_path / "out"), "--no-cache", "--jobs", "1"]
    script = f"""
import sys, runpy
import builder.preview.loaded
before = set(sys.modules)
sys.argv[1:] = {arguments!r}
try:
    runpy.run_module("builder", run_name="__main__")
except SystemExit as end:
    assert not end.code, end.code
roots = {{name.partition(".")[0] for name in before}}
print("later:", *sorted({{name.partition(".")[0] for name in sys.modules}} - roots))
print("of the builder:", sum(name.startswith("builder.") for name in set(sys.modules) - before))
"""
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    later, ours = (line.partition(": ")[2] for line in done.stdout.splitlines()[-2:])
    assert not {"weasyprint", "pint", "jinja2", "markdown_it", "yaml", "babel", "pikepdf"} & set(later.split())
    assert int(ours) < 20, "the command line, and what only some sites need"


def test_changes_are_told_once_their_writing_has_settled(tmp_path):
    found = []
    watched = threading.Event()

    def watch():
        for count in changes(tmp_path):
            found.append(count)
            watched.set()
            return

    thread = threading.Thread(target=watch, daemon=True)
    thread.start()
    for number in range(100):  # the watcher needs a moment to begin
        (tmp_path / "areas.yaml").write_text(str(number), encoding="utf-8")
        if watched.wait(0.1 if number % 10 else 0.5):
            break
    thread.join(timeout=5)
    assert found == [1], "one file, however often it was written"


def test_changes_of_a_folder_that_is_extended_are_told_also_of_one_named_meanwhile(tmp_path):
    for name in ("content", "company"):
        (tmp_path / name).mkdir()
    site, areas = tmp_path / "content/site.yaml", tmp_path / "company/areas.yaml"
    site.write_text("name: A\n", encoding="utf-8")
    told = threading.Event()

    def watch():
        for _ in changes(tmp_path / "content"):
            told.set()

    threading.Thread(target=watch, daemon=True).start()

    def until_told(path, texts):
        told.clear()
        for text in texts:
            path.write_text(text, encoding="utf-8")
            if told.wait(0.5):
                return True
        return False

    assert until_told(site, ["name: A\nextends: ../company\n" + "# \n" * n for n in range(40)])
    assert until_told(areas, [f"areas: [{n}]\n" for n in range(40)])


def test_an_extended_folder_that_was_not_there_is_noticed_once_it_is(tmp_path, monkeypatch):
    monkeypatch.setattr("builder.preview.rounds.LOOKED_FOR_MS", 50)
    (tmp_path / "content").mkdir()
    (tmp_path / "content/site.yaml").write_text("extends: ../company\n", encoding="utf-8")
    told = threading.Event()

    def watch():
        for _ in changes(tmp_path / "content"):
            told.set()

    threading.Thread(target=watch, daemon=True).start()
    assert not told.wait(0.3), "nothing changed yet"
    (tmp_path / "company").mkdir()
    assert told.wait(5)


def test_each_content_has_a_draft_folder_of_its_own(tmp_path):
    one, other = (draft_folder(tmp_path, tmp_path / name) for name in ("a", "b"))
    assert one != other
    assert one == draft_folder(tmp_path, tmp_path / "x" / ".." / "a")
