"""What tests of findings compute with remembered topics is what computing makes, whatever changed before.

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
from tests.trust.long import sample_of

NUMBER = re.compile(r"(?<=[ {])\d+(?:\.\d+)?(?= |$)", re.MULTILINE)
RECORDS = tuple(
    "unit,time,kind,sensor,cylinder,as-found,result\n"
    f"d-1,2026-11-{day}T06:00Z,bump-test,bead,c-1,50,pass\nd-1,2026-11-{day}T07:00Z,use,,,,\n"
    for day in (10, 20)
)


def changes():
    """Every number of every file doubled by itself, and every file with all its lines one further down."""
    for path in sorted(SOUND.glob("*.yaml")):
        text = path.read_text(encoding="utf-8")
        yield path.name, "", f"# moved down\n{text}"
        for found in NUMBER.finditer(text):
            yield path.name, "", f"{text[: found.start()]}{2 * float(found[0]):g}{text[found.end() :]}"


def outcome(program):
    """All figures with all that is told of them, or why there are none."""
    try:
        computed = compute(program, AS_OF)
    except ContentError as error:
        return repr(error.problems)
    assert type(computed.program) is not WatchedProgram, "the program that rules ask is the site's own"
    return repr((list(computed.ledger), computed.ledger.aliases, computed.ledger.names))


def test_remembered_figures_are_those_of_a_plain_computation(tmp_path):
    tried = [*sample_of(changes(), 6)]
    random.Random(7).shuffle(tried)  # so that files change in turn, and what was remembered of each is asked for again
    told = set()
    for number, change in enumerate(tried):
        try:
            program = edited(SOUND, tmp_path / str(number), change, ("records/r.csv", "", RECORDS[number % 2]))
        except ContentError:  # refused before anything is computed
            continue
        with remembered_topics():
            remembered = outcome(program)
        assert remembered == outcome(program), change[2]
        told.add(remembered)
    assert len(told) >= 10


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
