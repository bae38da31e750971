"""What tests of findings read and compute with what is remembered is what was made anew, whatever changed before.

Each day a share of the changes is tried, all of them in as many days; `make trust` tries all.
"""

from __future__ import annotations

import random
import re

import pytest

from builder.base.errors import ContentError
from builder.figures.compute import compute
from builder.figures.ledger import LedgerBuilder
from builder.figures.recorder import FigureRecorder
from tests.edited import edited
from tests.findings.conftest import AS_OF, SOUND
from tests.remembered import WatchedProgram, remembered_topics, remembering
from tests.reread import reread_files
from tests.trust.long import sample_of

NUMBER = re.compile(r"(?<=[ {])\d+(?:\.\d+)?(?= |$)", re.MULTILINE)
RECORDS = tuple(
    "unit,time,kind,sensor,cylinder,as-found,result\n"
    f"d-1,2026-11-{day}T06:00Z,bump-test,bead,c-1,50,pass\nd-1,2026-11-{day}T07:00Z,use,,,,\n"
    for day in (10, 20)
)


def changes():
    """Every number of every file doubled by itself; every file one line down, with an unknown key, with another id."""
    for path in sorted(SOUND.glob("*.yaml")):
        text = path.read_text(encoding="utf-8")
        yield path.name, "", f"# moved down\n{text}"
        yield path.name, "", f"{text}\nno-such-key: 1\n"
        yield path.name, "", re.sub(r"\bid: ([\w-]+)", r"id: another-\1", text, count=1)
        for found in NUMBER.finditer(text):
            yield path.name, "", f"{text[: found.start()]}{2 * float(found[0]):g}{text[found.end() :]}"


def read(folder, *changes):
    """The program, or why there is none."""
    try:
        return edited(SOUND, folder, *changes)
    except ContentError as error:
        return repr(error.problems)


def outcome(program):
    """All figures with all that is told of them, or why there are none."""
    try:
        computed = compute(program, AS_OF)
    except ContentError as error:
        return repr(error.problems)
    assert type(computed.program) is not WatchedProgram, "the program that rules ask is the site's own"
    return repr((list(computed.ledger), computed.ledger.aliases, computed.ledger.names))


def test_remembered_programs_and_figures_are_those_that_are_read_and_computed_anew(tmp_path):
    tried = [*sample_of(changes(), 6)]
    random.Random(7).shuffle(tried)  # so that files change in turn, and what was remembered of each is asked for again
    told, refused = set(), set()
    for number, change in enumerate(tried):
        changed = (tmp_path / str(number), change, ("records/r.csv", "", RECORDS[number % 2]))
        with reread_files():
            again = read(*changed)
        program = read(*changed)
        assert again == program, change[2]
        if isinstance(program, str):  # refused before anything is computed
            refused.add(program)
            continue
        with remembered_topics():
            remembered = outcome(again)
        assert remembered == outcome(program), change[2]
        told.add(remembered)
    assert len(told) >= 10
    assert refused


@pytest.mark.parametrize(
    ("change", "times"),
    [
        (("models.yaml", "flow: 0.5 L/min", "flow: 0.6 L/min"), 1),
        (("site.yaml", "altitude: 100 m", "altitude: 101 m"), 2),
        (("site.yaml", "altitude: 100 m", "altitude: 100.0 m"), 2),  # the same height, written otherwise
    ],
)
def test_a_topic_is_asked_again_only_for_what_it_reads(change, times, tmp_path):
    asked = []
    topic = remembering(lambda recorder: asked.append(recorder.program.site))
    for program in (edited(SOUND, tmp_path / "one"), edited(SOUND, tmp_path / "two", change)):
        topic(FigureRecorder(program=program, ledger=LedgerBuilder({}), as_of=AS_OF))
    assert len(asked) == times


def test_a_topic_is_asked_again_for_a_figure_that_it_looked_for_and_that_is_there_now(tmp_path):
    asked = []
    topic = remembering(lambda recorder: asked.append("handbook.as-of" in recorder.ledger))
    program = edited(SOUND, tmp_path)
    without, with_it = LedgerBuilder({}), LedgerBuilder({})
    with_it.add(compute(program, AS_OF).ledger["handbook.as-of"])
    for ledger in (without, without, with_it):
        topic(FigureRecorder(program=program, ledger=ledger, as_of=AS_OF))
    assert asked == [False, True]
