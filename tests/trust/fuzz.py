"""Seeded small changes of a content folder, as hands, editors, spreadsheets and ill will make them."""

from __future__ import annotations

import re
import shutil
import signal
from contextlib import contextmanager
from pathlib import Path

from builder.base.fault_kinds import Kind
from builder.cli.main import run

SECONDS = 10
"""Processor time that any content may take."""
WORDS = (
    "",
    "-",
    "?",
    "null",
    "true",
    "[]",
    "{}",
    "~",
    "0",
    "-1",
    "1e400",
    "9" * 400,
    "0x10",
    "1_000",
    "1,5",
    ".5",
    "NaN",
    "inf",
    "2026-02-30",
    "0000-00-00",
    "2026-13-45",
    "24:61",
    "*alias",
    "&anchor",
    "!!python/object:os.system",
    "!tag x",
    "|",
    ">",
    '"',
    "'",
    "`",
    "%LEL",
    "ppm",
    "%vol",
    "20 %LEL",
    "5 ppb",
    "1e9 ppm",
    "-5 ppm",
    "µg/m3",
    "‰",
    "١٢",
    "Ⅻ",
    "１０ ppm",
    "{{ 7 * 7 }}",
    "{% raw %}",
    "[x](gas:methane)",
    "[x](gas:none)",
    "[x](../../etc/passwd)",
    "../x",
    "a/b",
    "CON",
    "a" * 300,
    "\U0001f600",
    "\u202e",
    "\x1b[31m",
    "\0",
    "\ufeff",
    "<script>",
    "# x",
    "key: x",
    "=1+1",
    "@x",
    "a: b: c",
)
"""What stands in a place afterwards."""
MARKS = (*":,-#[]{}\"'|>&*!%@` \n\t;=\\", "", "", "")


def mutated(text, chance):
    """A text with one to three changes."""
    for _ in range(chance.choice((1, 1, 1, 2, 3))):
        text = chance.choice(CHANGES)(text, chance)
    return text


def word_replaced(text, chance):
    places = list(re.finditer(r"[^\s:,{}\[\]\"']+", text))
    return _put(text, chance.choice(places).span(), chance.choice(WORDS)) if places else text


def word_from_elsewhere(text, chance):
    places = list(re.finditer(r"[^\s:,{}\[\]\"']+", text))
    return _put(text, chance.choice(places).span(), chance.choice(places).group()) if places else text


def value_replaced(text, chance):
    places = list(re.finditer(r"(?<=: )[^\n]+", text))
    return _put(text, chance.choice(places).span(), chance.choice(WORDS)) if places else word_replaced(text, chance)


def number_changed(text, chance):
    places = list(re.finditer(r"\d+(\.\d+)?", text))
    if not places:
        return text
    place = chance.choice(places)
    number = float(place.group())
    other = chance.choice((number * 10, number / 10, number + 1, -number, 0, 1e15, number * 1.01))
    return _put(text, place.span(), f"{other:g}")


def line_gone(text, chance):
    lines = text.split("\n")
    del lines[chance.randrange(len(lines))]
    return "\n".join(lines)


def line_twice(text, chance):
    lines = text.split("\n")
    at = chance.randrange(len(lines))
    return "\n".join([*lines[: at + 1], *lines[at:]])


def lines_exchanged(text, chance):
    lines = text.split("\n")
    one, other = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]
    return "\n".join(lines)


def indented(text, chance):
    lines = text.split("\n")
    at = chance.randrange(len(lines))
    lines[at] = chance.choice((" " + lines[at], "\t" + lines[at], lines[at].lstrip(), "  " + lines[at]))
    return "\n".join(lines)


def cut_short(text, chance):
    return text[: chance.randrange(len(text) + 1)]


def character_changed(text, chance):
    if not text:
        return text
    at = chance.randrange(len(text))
    return _put(text, (at, at + chance.choice((0, 1))), chance.choice(MARKS))


def key_misspelt(text, chance):
    places = list(re.finditer(r"^\s*-?\s*([\w-]+)(?=:)", text, re.MULTILINE))
    if not places:
        return text
    start, end = chance.choice(places).span(1)
    at = chance.randrange(start, end)
    return text[:at] + text[at + 1 :]


CHANGES = (
    word_replaced,
    word_from_elsewhere,
    value_replaced,
    value_replaced,
    number_changed,
    number_changed,
    line_gone,
    line_twice,
    lines_exchanged,
    indented,
    cut_short,
    character_changed,
    key_misspelt,
)


def _put(text, span, new):
    return text[: span[0]] + new + text[span[1] :]


def files_of(content):
    return sorted(path for path in Path(content).rglob("*") if path.suffix in {".yaml", ".md", ".csv"})


class TooLongError(Exception):
    """More processor time than any content may take."""


@contextmanager
def in_time():
    """Ends what takes too long."""

    def end(*_):
        raise TooLongError

    before = signal.signal(signal.SIGVTALRM, end)
    signal.setitimer(signal.ITIMER_VIRTUAL, SECONDS)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, before)


def answered(content, capsys):
    """Status and words of a check; whatever it raises comes through."""
    with in_time():
        status = run(["check", "--content", str(content), "--as-of", "2026-11-25", "--quiet"])
    told = capsys.readouterr()
    return status, told.out + told.err


def assert_told(status, told):
    """As documented: 0 where it is read, 1 with faults that name file and line; nothing steers the terminal."""
    assert status in (0, 1), told[-500:]
    assert "Traceback" not in told
    assert "nested too deeply" not in told
    assert "the system refuses" not in told
    steering = [character for character in told if character not in "\n\t" and ord(character) < 32]
    assert not steering
    if status == 1:
        assert re.search(r"^\S.*:\d+: ", told, re.MULTILINE), told[-500:]
        assert re.search(r"\d+ faults? in the content", told), told[-500:]
        kinds = {line.rpartition("[")[2] for line in told.split("\n") if re.match(r"\S.*:\d+: ", line)}
        assert kinds <= {f"{kind}]" for kind in Kind}, "each fault has its id"
        assert all(f"\n[{kind} " in told for kind in kinds), "and each id its cure"


@contextmanager
def with_file(path, text):
    """The file says something else for a while."""
    before = path.read_bytes()
    path.write_text(text, encoding="utf-8", errors="surrogateescape", newline="")
    try:
        yield
    finally:
        path.write_bytes(before)


def copy_of(content, folder):
    return Path(shutil.copytree(content, folder))
