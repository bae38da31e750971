"""Jobs: any executor, any number of processes and any state of what is kept give the same results."""

import os
import pickle
import signal
import subprocess
import sys
import time
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import pytest

from builder.base.errors import FitError, RenderError
from builder.base.store import FileStore
from builder.pages.hrefs import sheet_path
from builder.program.look import Look
from builder.render.documents import Document, Judgement, Made, document_job, refuse_faults
from builder.render.imposition import USUAL
from builder.render.jobs import Workshop, job, results
from builder.render.site import Papers, begin_papers, render_site
from tests.render.samples import FIGURES, entrant

CSS = ('p, h1 { font-family: "Handbook Sans" } @page { size: 80mm 60mm }',)


@dataclass(frozen=True, slots=True)
class AtMost:
    """Rules of a test: so many pages and no more."""

    pages: int

    def judge(self, laid):
        return Judgement(faults=("too long",) if laid.pages > self.pages else (), notes=(f"{laid.pages} pages",))


def document(number, pages=1):
    body = "".join(f'<h1 id="part-{at}" style="break-before: page">Part {at}</h1>' for at in range(1, pages))
    html = f"<html lang=en><title>t</title><body><p>Document {number}</p>{body}</body></html>"
    return Document(name=f"document {number}", html=html, css=CSS, title="t", language="en", rules=AtMost(3))


def jobs(*pages):
    return [document_job(document(number, count)) for number, count in enumerate(pages)]


def process_of(_engine, number):
    return f"{number} by {os.getpid()}"


def refuse(_engine, why):
    raise FitError([why])


def end_at_once(_engine):
    os._exit(3)


@pytest.fixture
def store(tmp_path):
    return FileStore(tmp_path / "kept")


def test_a_document_is_made_with_its_judgement_its_pages_and_its_places():
    with Workshop() as shop:
        good, long = shop.run(jobs(3, 4))
    assert good.pdf.startswith(b"%PDF")
    assert (good.pages, good.faults, good.notes) == (3, (), ("3 pages",))
    assert good.anchors == (("part-1", 2), ("part-2", 3))
    assert (long.pdf, long.faults) == (b"", ("too long",))
    with pytest.raises(FitError, match="too long"):
        refuse_faults([good, long])


def test_processes_threads_and_what_is_kept_do_not_change_a_byte(store):
    wanted = jobs(1, 2, 3)
    with Workshop() as shop:
        alone = shop.run(wanted)
    with Workshop(2, store) as shop:
        together = shop.run(wanted)
    with ThreadPoolExecutor(2) as pool, Workshop(executor=pool) as shop:
        threads = shop.run(wanted)
    with Workshop(2, store) as shop:
        kept = shop.run(wanted)
        assert shop.made["chapters"] == 0
        assert shop.asked["chapters"] == 3
    assert alone == together == threads == kept


def test_where_processes_cannot_be_forked_they_are_begun_anew(monkeypatch):
    """As on Windows."""
    monkeypatch.setattr("builder.render.workers._methods", lambda: ["spawn"])
    with Workshop() as shop:
        alone = shop.run(jobs(1, 2))
    with Workshop(2) as shop:
        assert shop.run(jobs(1, 2)) == alone


def test_only_what_changed_is_made_again(store):
    with Workshop(1, store) as shop:
        shop.run(jobs(1, 2))
        shop.run(jobs(1, 3))
        assert (shop.made["chapters"], shop.asked["chapters"]) == (3, 4)


def test_every_input_is_part_of_the_key():
    made = document(1)
    others = [
        Document(**{**fields(made), name: value})
        for name, value in {
            "name": "x", "html": made.html + " ", "css": (*CSS, ""), "title": "x", "language": "es", "second": "x",
            "rules": AtMost(4),
        }.items()
    ]  # fmt: skip
    keys = {document_job(one).key() for one in (made, *others)}
    assert len(keys) == 1 + len(others)


def fields(made):
    return {name: getattr(made, name) for name in type(made).__dataclass_fields__}


def test_other_libraries_other_type_or_other_code_give_another_key(monkeypatch):
    (wanted,) = jobs(1)
    keys = {wanted.key()}
    monkeypatch.setattr("builder.render.workers.surroundings", lambda: "other")
    keys.add(wanted.key())
    monkeypatch.setattr("builder.render.jobs.sources_digest", lambda _module: "other")
    keys.add(wanted.key())
    assert len(keys) == 3


def test_a_worker_with_other_libraries_is_refused(monkeypatch):
    monkeypatch.setattr("builder.render.workers.surroundings", iter(("key", "asked", "worker")).__next__)
    with Workshop() as shop, pytest.raises(RenderError, match="other versions"):
        shop.run(jobs(1))


def test_the_longest_is_begun_first():
    begun = []

    def note(_engine, name):
        begun.append(name)

    with Workshop() as shop:
        shop.run([job("x", cost, note, str(cost)) for cost in (1, 5, 3)])
    assert begun == ["5", "3", "1"]


def test_little_work_makes_no_processes_and_more_of_it_does():
    def places(*costs):
        return {int(said.split()[-1]) for said in shop.run([job("x", cost, process_of, cost) for cost in costs])}

    with Workshop(2, little=5) as shop:
        assert places(2, 1) == {os.getpid()}
        assert places(1, 1) == {os.getpid()}
        assert os.getpid() not in places(1), "much of it begun little by little"
        assert os.getpid() not in places(1), "processes that are there are used"
    with Workshop(2, little=5) as shop:
        [coming] = shop.start([job("x", 2, process_of, 2)], followed=3)
        assert str(os.getpid()) not in coming.result().split(), "of what is three times as long with all that follows"


def test_processes_made_after_little_work_make_the_same_bytes():
    small, more = jobs(1), jobs(1, 2, 3)
    with Workshop() as shop:
        alone = shop.run(more)
    with Workshop(2, little=small[0].cost) as shop:
        assert shop.run(small) == alone[:1]
        assert shop.run(more) == alone


def test_a_refusal_comes_through_from_another_process_and_is_not_kept(store):
    for _ in range(2):
        with Workshop(2, store) as shop:
            coming = shop.start([job("x", 1, refuse, "no"), job("x", 1, process_of, 1)])
            with pytest.raises(FitError, match="no"):
                results(coming)
    assert shop.made["x"] == 1, "only the refusal is tried again"


def test_a_process_that_dies_is_told():
    with pytest.raises(RenderError, match="ended before its work was done"), Workshop(2) as shop:
        shop.run([job("x", 1, end_at_once)])


def test_a_foreign_entry_in_a_shared_folder_runs_nothing(store, tmp_path):
    """Whoever can write into the folder can make the hash of an entry, but no code of theirs is run."""

    class Evil:
        def __reduce__(self):
            return (os.mkdir, (str(tmp_path / "harmed"),))

    (wanted,) = jobs(1)
    store.put(wanted.key(), pickle.dumps(Evil()))
    with Workshop(1, store) as shop:
        (made,) = shop.run([wanted])
    assert isinstance(made, Made)
    assert not (tmp_path / "harmed").exists()


ALONE = """
import signal, sys, time
from builder.cli.main import heed_signals
from builder.render.jobs import Workshop, job
from tests.render.test_jobs import linger
signal.signal(signal.SIGINT, signal.default_int_handler)  # which a shell has ignored by what it runs in the background
heed_signals()
with Workshop(2) as shop:
    shop.start([job("x", 1, linger, at) for at in range(2)])
    time.sleep(60)
"""


def linger(_engine, number):
    os.write(1, f"{os.getpid()}\n".encode())
    time.sleep(60 + number)


def alive(pid):
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return Path(f"/proc/{pid}/stat").read_text().split()[2] != "Z"


@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_workers_end_with_the_process_that_started_them(tmp_path, number):
    surroundings = {**os.environ, "TMPDIR": str(tmp_path)}
    asked = [sys.executable, "-c", ALONE]
    with subprocess.Popen(asked, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=surroundings) as parent:
        pids = [int(parent.stdout.readline()) for _ in range(2)]
        assert all(alive(pid) for pid in pids)
        parent.send_signal(number)
        parent.communicate(timeout=30)
    until = time.monotonic() + 20
    while any(alive(pid) for pid in pids) and time.monotonic() < until:
        time.sleep(0.05)
    assert not any(alive(pid) for pid in pids)
    assert list(tmp_path.iterdir()) == [], "nothing temporary stays"


class Handed(Executor):
    """Does what it is handed when somebody waits for it, and tells of both."""

    def __init__(self, told):
        self._told = told

    def submit(self, fn, /, *args, **kwargs):
        told = self._told

        class Coming(Future):
            def result(self, timeout=None):
                if not self.done():
                    told.append("waited")
                    self.set_result(fn(*args, **kwargs))
                return super().result(timeout)

        told.append("handed over")
        return Coming()


def rendered_beside(shop, beside):
    """A site of one card, and the card."""
    facts = {"name": "Pit", "title": "Handbook", "draft": True, "revision": "Draft", "as_of": "today", "look": Look()}
    one = entrant()
    made = render_site(
        begun=begin_papers([one], (), FIGURES, shop, lambda _: None),
        papers=Papers(cards=[one], paper="A4", setting=USUAL), pages=(), figures=FIGURES, hrefs={}, book_hrefs={},
        facts=facts, shop=shop, tell=lambda _: None, beside=beside,
    )  # fmt: skip
    return one, made.files


def test_what_needs_no_paper_is_made_before_the_first_paper_is_waited_for():
    told = []
    with Workshop(executor=Handed(told)) as shop:
        one, files = rendered_beside(shop, lambda _, prints, words: told.append((list(prints), dict(words))))
    assert told == ["handed over", ([one.path, sheet_path(one.format, "A4")], {}), "waited", "handed over", "waited"]
    assert files[one.path].startswith(b"%PDF")


def test_sheets_of_cards_that_are_there_are_begun_before_what_needs_no_paper():
    begun: list[int] = []
    with Workshop() as shop:
        rendered_beside(shop, lambda *_: begun.append(shop.asked["sheets of cards"]))
    assert begun == [1]
