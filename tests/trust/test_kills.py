"""Whatever stops a build or a release, a whole site stands, nothing runs on, and the next one mends the rest.

That is the project's own promise; how a process reports what stopped it is IEEE Std 1003.1, 2.8.2. ``make trust``
stops far more often, and with documents laid out.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import time

import pytest

from tests.release.release_kit import sound_content
from tests.trust.kills import STATUS, Place, workers
from tests.trust.long import LONG
from tests.trust.stopping import POINTS, RELEASE_POINTS

SIGNALS = tuple(STATUS)
DAY = ("--as-of", "2026-11-25")
NEXT_DAY = ("--as-of", "2026-11-26")
RELEASE = (
    "--number",
    "2",
    "--reason",
    "r",
    "--prepared",
    "A. W",
    "--reviewed",
    "B. R",
    "--approved",
    "C. H",
    *NEXT_DAY,
)
SEED = 20261125
AT_POINTS = [(point, number) for point in POINTS for number in SIGNALS]
RELEASE_AT_POINTS = [(point, number) for point in RELEASE_POINTS for number in SIGNALS]
ENDS_ITSELF = {signal.SIGINT: (-signal.SIGINT,)}
"""An interrupt that comes while Python runs a text, as it does to make records, lets it end itself by that signal when
all is told; shells report the same for both."""
AFTER = 12
"""Kills at random moments of a light build and a light release each, and of whole builds."""


def chosen(pairs):
    """All of them, or one."""
    return pairs if LONG else random.Random(SEED).sample(pairs, 1)


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A place with the site of a day."""
    place = Place(tmp_path_factory.mktemp("made") / "place")
    place.root.mkdir()
    sound_content(place.root / "source")
    place.fresh(place.root / "source")
    status, said = place.run(place.command("build", *DAY))
    assert (status, place.names()) == (0, ["site"]), said
    return place


@pytest.fixture
def place(made, tmp_path):
    return Place(shutil.copytree(made.root, tmp_path / "place", copy_function=os.link))


def told_truly(said, status, number, *, new):
    assert "Traceback" not in said, said
    assert status in (STATUS[number], *ENDS_ITSELF.get(number, ())), (status, said)
    if number != signal.SIGKILL:
        assert ("the new site stands" if new else "what was published before is untouched") in said


def assert_cleared(place):
    """No folder of ours is left; the list of folders may be, which names none that is there."""
    assert [name for name in place.names() if not name.endswith("-unfinished")] == ["site"]


def mended(place, *command):
    """The same once more ends well and leaves nothing beside the site."""
    status, said = place.run(place.command(*command))
    assert status == 0, said
    assert place.whole()
    assert [name for name in place.names() if name != "site"] == []


@pytest.mark.parametrize(("point", "number"), chosen(AT_POINTS), ids=str)
def test_a_build_stopped_at_a_point(point, number, place):
    before = place.whole()
    status, said = place.run(place.command("build", *NEXT_DAY, "--no-cache", point=point, number=number.name))
    new = place.whole() != before
    assert new == (POINTS.index(point) >= POINTS.index("builder.publish.atomic_replace:exchange:after"))
    told_truly(said, status, number, new=new)
    if number != signal.SIGKILL:
        assert_cleared(place)
    mended(place, "build", *NEXT_DAY, "--no-cache")


@pytest.mark.parametrize(("point", "number"), chosen(RELEASE_AT_POINTS), ids=str)
def test_a_release_stopped_at_a_point(point, number, place):
    before = place.whole()
    status, said = place.run(place.command("release", *RELEASE, "--no-cache", point=point, number=number.name))
    new = place.whole() != before
    told_truly(said, status, number, new=new)
    entry = place.content / "revisions" / "2.yaml"
    assert new or not entry.exists()
    if number != signal.SIGKILL:
        assert_cleared(place)
    if not entry.exists():
        mended(place, "release", *RELEASE, "--no-cache")
    assert entry.is_file()
    assert any(path.startswith("revisions/2/") for path in place.sums())


def stopped_after(place, line, seconds, number, *, all_of_it=False):
    """Status and words of a command that is sent a signal so many seconds after its start."""
    with place.start(line) as process:
        time.sleep(seconds)
        if process.poll() is None:
            (os.killpg if all_of_it else os.kill)(process.pid, number)
        _, said = process.communicate(timeout=120)
    place.group_ended(process)
    return process.returncode, said


def moments(number, longest):
    chance = random.Random(SEED + number)
    return [(round(chance.uniform(0.3, longest), 3), chance.choice(SIGNALS)) for _ in range(number)]


@pytest.mark.parametrize("name", ["build", "release"] if LONG else ["release"])
def test_stopped_at_random_moments(name, made, tmp_path):
    arguments = RELEASE if name == "release" else NEXT_DAY
    for at, (seconds, number) in enumerate(moments(AFTER if LONG else 1, 1.4)):
        place = Place(shutil.copytree(made.root, tmp_path / str(at), copy_function=os.link))
        before = place.whole()
        status, said = stopped_after(place, place.command(name, *arguments, "--no-cache"), seconds, number)
        if status == 0:
            assert place.whole() != before
            continue
        new = place.whole() != before
        if status == -number and number != signal.SIGKILL and not said:  # before the command could heed it
            assert not new
        else:
            told_truly(said, status, number, new=new)
        if name == "build" or not (place.content / "revisions" / "2.yaml").exists():
            mended(place, name, *arguments, "--no-cache")


def stopped_while_laying_out(place, line, number, seconds, *, all_of_it):
    """Sent a signal some time after it has started others to lay out; what is said by it and of it."""
    with place.start(line) as process:
        until = time.monotonic() + 120
        while workers(process.pid) < 3 and process.poll() is None:
            assert time.monotonic() < until
            time.sleep(0.01)
        time.sleep(seconds)
        assert process.poll() is None, process.stderr.read()
        (os.killpg if all_of_it else os.kill)(process.pid, number)
        _, said = process.communicate(timeout=120)
    place.group_ended(process)
    return process.returncode, said


WHOLE = [(number, all_of_it, seconds) for number in SIGNALS for all_of_it in (False, True) for seconds in (0, 0.7, 1.5)]


FEW = [(signal.SIGKILL, False, 0.3)]


@pytest.mark.parametrize(("number", "all_of_it", "seconds"), WHOLE if LONG else FEW, ids=str)
def test_processes_that_lay_out_end_with_the_command(number, all_of_it, seconds, place):
    before = place.whole()
    line = place.command("build", *NEXT_DAY, "--no-cache", "--jobs", "2", whole="whole")
    status, said = stopped_while_laying_out(place, line, number, seconds, all_of_it=all_of_it)
    assert place.whole() == before
    if number != signal.SIGKILL:
        assert list(place.temp.iterdir()) == []
    elif not all_of_it:  # what its processes had is cleared by them; what it had itself, by nobody
        assert not list(place.temp.glob("handbook-*"))
    told_truly(said, status, number, new=False)
