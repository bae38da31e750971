"""The same jobs on the workers of another engine: the same bytes, and a lost worker's jobs are done again."""

import os
import signal
import time

import pytest

distributed = pytest.importorskip("distributed", reason="the extra `cluster` is not installed")

from builder.base.errors import UsageError  # noqa: E402
from builder.cli.work import Work  # noqa: E402
from builder.render.jobs import Workshop, job  # noqa: E402
from tests.render.test_jobs import jobs  # noqa: E402

pytestmark = pytest.mark.filterwarnings("ignore::DeprecationWarning", "ignore::ResourceWarning")


@pytest.fixture(scope="module")
def cluster():
    """Two workers, each a process of its own."""
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None) as made:
        yield made


def on(cluster):
    return Work(jobs=1, cache=None, keep=False, cluster=cluster.scheduler_address).opened()


def slow(_engine, number):
    time.sleep(1.5)
    return f"{number} done"


def pid_of(_engine, _number):
    time.sleep(0.2)
    return str(os.getpid())


def test_a_cluster_makes_the_same_bytes_on_both_workers(cluster):
    with Workshop() as shop:
        here = shop.run(jobs(1, 2, 3))
    with on(cluster) as shop:
        assert shop.run(jobs(1, 2, 3)) == here
        pids = set(shop.run([job("x", 1, pid_of, number) for number in range(8)]))
    assert len(pids) == 2
    assert str(os.getpid()) not in pids


def test_the_jobs_of_a_lost_worker_are_done_again(cluster):
    with on(cluster) as shop:
        (pid, *_) = shop.run([job("x", 1, pid_of, number) for number in range(2)])
        coming = shop.start([job("x", 1, slow, number) for number in range(4)])
        time.sleep(0.7)
        os.kill(int(pid), signal.SIGKILL)
        assert [one.result(timeout=60) for one in coming] == [f"{number} done" for number in range(4)]


def test_a_cluster_without_a_worker_is_told_since_nothing_moves(capsys):
    with distributed.LocalCluster(n_workers=0, processes=False, dashboard_address=":0") as empty, on(empty):
        assert "note: the cluster has no worker yet" in capsys.readouterr().err


def test_where_no_cluster_answers_it_is_said_in_one_line():
    lonely = Work(jobs=1, cache=None, keep=False, cluster="tcp://127.0.0.1:1")
    with pytest.raises(UsageError, match="no cluster answers at tcp"), lonely.opened():
        pass
