"""Files of others steer no terminal, and end no command with a traceback, whatever they hold.

Control characters are those of ISO 6429 and of the Unicode Bidirectional Algorithm (UAX 9); how JSON writes a
character by its number is RFC 8259, section 7.
"""

from __future__ import annotations

import json
import sys

import pytest

from builder import __main__ as entry
from builder.base import sources
from builder.base.sources import code_digest
from builder.cli.main import run
from builder.history.compare import Cause, Change, EditionComparison
from builder.history.reprint import Reprints
from builder.publish.checksums import NAME, digest
from builder.publish.staging import publish
from builder.publish.versions import versions
from builder.release import difference
from builder.verify.about import same_builder
from builder.verify.report import Check
from tests.conftest import ROOT

STEERS = "bad\x1b[2J\x9b31m\u202e\x07\nfault: none"
SHOWN = "bad<U+001B>[2J<U+009B>31m<U+202E><U+0007><U+000A>fault: none"
DEEP = b'{"format": 1, "a": ' + b"[" * 200_000 + b"]" * 200_000 + b"}"


def seen_as_itself(text):
    return all(character == "\n" or character.isprintable() for character in text)


def test_names_of_files_in_a_site_steer_no_terminal(tmp_path, capsys):
    publish({"index.html": b"x"}, tmp_path / "site")
    (tmp_path / "site" / f"{STEERS}.html").write_text("x", encoding="utf-8")
    assert run(["verify", str(tmp_path / "site"), "--json", str(tmp_path / "all.json")]) == 1
    told = capsys.readouterr()
    assert f"fault: {SHOWN}.html: is not listed" in told.err
    assert seen_as_itself(told.err + told.out)
    written = (tmp_path / "all.json").read_text(encoding="utf-8")
    assert seen_as_itself(written)
    assert any(one["path"] == f"{STEERS}.html" for one in json.loads(written)["differences"])


def hostile_comparison(*_, **__):
    change = Change(
        key=STEERS,
        label=STEERS,
        kind="changed",
        before=STEERS,
        after=STEERS,
        causes=(Cause(STEERS, STEERS, STEERS, STEERS, STEERS),),
        passing=False,
        pages=(STEERS,),
        cards=(STEERS,),
        documents=(STEERS,),
    )
    found = EditionComparison(before=STEERS, after=STEERS, changes=(change,), texts=())
    return found, Reprints(cards=(), documents=(), recalls=(), briefings=())


@pytest.mark.parametrize("as_json", [False, True])
def test_what_a_foreign_edition_says_steers_no_terminal(as_json, monkeypatch, capsys):
    monkeypatch.setattr(difference, "difference", hostile_comparison)
    assert run(["compare", "1", "2", *(["--json"] if as_json else [])]) == 0
    told = capsys.readouterr().out
    assert seen_as_itself(told)
    assert "2J" in told
    if as_json:
        assert json.loads(told)["figures"][0]["before"] == STEERS


def test_what_is_typed_wrongly_comes_back_as_code_points(capsys):
    assert run(["convert", "1", STEERS, "ppm"]) == 2
    assert run(["check", f"--{STEERS}"]) == 2
    assert run([STEERS]) == 2
    assert seen_as_itself(capsys.readouterr().err)


@pytest.mark.parametrize("name", ["about.json", "figures.json", "texts.json", "cards.json", "findings.json"])
@pytest.mark.parametrize("folder", ["", "revisions/1/"])
def test_deep_json_is_told_as_a_fault(folder, name, tmp_path, capsys):
    sound = dict.fromkeys(("about.json", "figures.json", "texts.json", "cards.json", "findings.json"), b"{}")
    files = {f"{folder}{path}": data for path, data in (sound | {name: DEEP}).items()}
    if folder:
        lines = "".join(f"{digest(data)}  {path.removeprefix(folder)}\n" for path, data in sorted(files.items()))
        files[f"{folder}{NAME}"] = lines.encode()
    publish({"index.html": b"x"} | files, tmp_path / "site")
    assert run(["verify", str(tmp_path / "site")]) == 1
    told = capsys.readouterr().err
    assert "fault: " in told
    assert "Traceback" not in told


# ---- another builder of the same version -------------------------------------------------------------


def test_other_code_of_the_same_version_is_told_and_is_no_fault():
    check = Check("again")
    now = versions()
    assert same_builder({"versions": now}, "the draft", check)
    assert not same_builder({"versions": now | {"builder code": "0" * 64}}, "the draft", check)
    assert not same_builder({"versions": {"builder": now["builder"]}}, "the draft", check)
    assert check.faults == []
    assert f"the draft was made by builder {now['builder']} (code 000000000000)" in check.note
    assert "code not told" in check.note


@pytest.mark.parametrize(
    "changed", ["templates/html/page.html", "builder/figures/figure.py", "builder/reference/tables/gases.csv"]
)
def test_the_hash_of_the_code_is_of_modules_templates_and_tables(changed, monkeypatch):
    here, real = code_digest(), sources._hash_of
    assert (ROOT / changed).is_file()
    monkeypatch.setattr(
        sources, "_hash_of", lambda path: b"other" if path == (ROOT / changed).as_posix() else real(path)
    )
    assert sources.code_digest.__wrapped__() != here


# ---- Windows -------------------------------------------------------------------------------------------


def test_windows_is_refused_in_one_line(monkeypatch):
    monkeypatch.setattr(sys, "platform", "win32")
    with pytest.raises(SystemExit) as left:
        entry.main()
    assert left.value.code == entry.NO_WINDOWS
    assert "\n" not in entry.NO_WINDOWS
