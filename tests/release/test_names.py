"""A site of any name goes through build, verify, release and comparison, and nobody cries wolf."""

from __future__ import annotations

import json

import pytest

from builder.cli import run
from tests.release.release_kit import FIRST_DAY, SECOND_DAY, edit, sound_content
from tests.trust.long import LONG, sample_of

NAMES = {
    "apostrophe and quotes": 'Ada\'s "Upper" Yard',
    "a line break written out": r"Yard\nEast, north; south\, west",
    "markup and signs": "<b>Yard</b> & Söhne = +1 | 50 %",
    "letters of elsewhere": "Żółć Ñandú Söhne, Завод",
}
TOGETHER = {"signs": 'Ada\'s "Up" <b>Yard</b>\\nEast; & = 50 %', "letters": NAMES["letters of elsewhere"]}
"""Of which the suite tries one each day; `make trust` tries each kind of sign alone."""
TRIED = NAMES if LONG else {kind: TOGETHER[kind] for kind in sample_of(TOGETHER, 2)}

UNPRINTABLE = {
    "separators that end lines": ("Yard\u2028East\u0085south\u000bwest", ("U+2028", "U+0085", "U+000B")),
    "letters that no face has": ("Yard 二号", ("U+4E8C",)),
    "Arabic where no language is": ("محطة", ("U+0645", "site.yaml:")),
    "digits of double width": ("Yard \uff11", ("U+FF11",)),
}


@pytest.mark.parametrize("kind", UNPRINTABLE)
@pytest.mark.usefixtures("without_book")
def test_a_name_that_cannot_be_printed_is_refused_and_says_why(kind, tmp_path, capsys):
    content, (name, points) = sound_content(tmp_path / "content"), UNPRINTABLE[kind]
    edit(content / "site.yaml", "name: Lower Example Yard", f"name: {json.dumps(name)}")
    where = ["--content", str(content), "--out", str(tmp_path / "site"), "--as-of", FIRST_DAY.isoformat()]
    assert run(["build", *where, "--quiet", "--no-cache"]) == 1
    shown = capsys.readouterr().err
    assert all(point in shown for point in points)
    assert not (tmp_path / "site").exists()


@pytest.mark.parametrize("kind", TRIED)
@pytest.mark.usefixtures("without_book")
def test_a_name(kind, tmp_path, capsys):
    content, out = sound_content(tmp_path / "content"), tmp_path / "site"
    edit(content / "site.yaml", "name: Lower Example Yard", f"name: {json.dumps(TRIED[kind])}")
    where = ["--content", str(content), "--quiet", "--no-cache"]

    def done(*command):
        status = run([*command])
        shown = capsys.readouterr()
        assert status == 0, shown.err
        return shown.out

    day = ["--as-of", FIRST_DAY.isoformat()]
    done("build", *where, "--out", str(out), *day)
    done("verify", str(out), "--content", str(content), "--quiet")
    names = ["--reason", "x", "--prepared", "A", "--reviewed", "B", "--approved", "C"]
    done("release", "--number", "2", *names, *where, "--out", str(out), *day)
    done("verify", str(out), "--quiet")
    later = ["--content", str(content), "--out", str(out), "--as-of", SECOND_DAY.isoformat()]
    found = json.loads(done("compare", "2", "draft", "--json", *later))
    assert [one for one in found["figures"] if not one["passing"]] == []
