"""A Dask cluster of several processes measures as this process does, and loses nothing."""

import os
import signal
import socket
import sys
import threading
import time
from pathlib import Path

import distributed
import pytest
from photo_copies import photo_copies

from beadcheck.cli.many import measured_many
from beadcheck.cli.many_flags import Many
from beadcheck.cli.run import Showing
from beadcheck.errors.cluster import (
    ClusterDaskVersionError,
    ClusterExtraMissingError,
    ClusterNotReachedError,
    ClusterVersionError,
    NoClusterWorkerError,
)
from beadcheck.many_photos import (
    LocalWorkers,
    PhotoOutcome,
    ask_of,
    cluster,
    journal_in,
    measured_each,
)
from beadcheck.many_photos.ask import NamedFile
from beadcheck.many_photos.one import Order
from beadcheck.photo import PhotoKind
from beadcheck.pipeline import Request, takes_of
from beadcheck.report.wording import LengthUnit

SMALL = 0.25


@pytest.fixture
def local_cluster():
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=None, memory_limit=0
    ) as local:
        yield local


def test_results_are_those_of_this_machine_though_a_worker_is_killed(local_cluster, tmp_path):
    paths = photo_copies(tmp_path / "day", 3, share=SMALL)
    ask = ask_of(Request(takes=()), pictures=True, unit=LengthUnit.MM)
    photos = [(PhotoKind.FACE, path) for path in paths]
    first, *_ = local_cluster.workers.values()
    killed = None
    with (
        journal_in(tmp_path / "out", ask.fingerprint) as journal,
        cluster.cluster_workers(local_cluster.scheduler_address, limit_s=300.0) as workers,
    ):
        told = []
        for each in measured_each(photos, ask, workers, journal):
            told.append(each)
            if killed is None:
                killed = first.pid
                os.kill(killed, signal.SIGKILL)
    assert first.pid != killed
    assert sorted(each.file for each in told) == [path.name for path in paths]
    assert {each.record.outcome for each in told} == {PhotoOutcome.MEASURED}
    with (
        journal_in(tmp_path / "here", ask.fingerprint) as journal,
        LocalWorkers(1, limit_s=300.0) as workers,
    ):
        assert len(list(measured_each(photos, ask, workers, journal))) == len(photos)
    here, there = (results(tmp_path / name) for name in ("here", "out"))
    assert len(here) > len(photos)
    assert there == here


def results(folder: Path) -> dict[str, bytes]:
    """Every file of every photo."""
    files = (path for path in folder.rglob("*") if path.is_file() and path.parent != folder)
    return {str(path.relative_to(folder)): path.read_bytes() for path in files}


def test_a_cluster_without_workers_is_told_before_and_while_photos_wait(monkeypatch):
    monkeypatch.setattr(cluster, "REACHED_WITHIN_S", 0.2)
    monkeypatch.setattr(cluster, "WITHOUT_WORKER_S", 0.0)
    with distributed.LocalCluster(
        n_workers=0, processes=False, dashboard_address=None, protocol="tcp"
    ) as empty:
        with (
            pytest.raises(NoClusterWorkerError, match=r"0\.2 s"),
            cluster.cluster_workers(empty.scheduler_address, limit_s=60.0),
        ):
            pass
        with distributed.Client(empty, set_as_default=False) as client:
            workers = cluster.ClusterWorkers(client, "processes", limit_s=60.0)
            assert workers.at_once == 2
            with pytest.raises(NoClusterWorkerError):
                workers.check()


def test_a_worker_of_another_version_measures_nothing(ask):
    photo = NamedFile(name="a.jpg", contents=b"a photo")
    order = Order(ask=ask, kind=PhotoKind.FACE, photo=photo)
    with pytest.raises(ClusterVersionError, match=r"beadcheck 0\.0\.1"):
        cluster.WorkerProcesses("0.0.1").carry_out(order, 60.0)


def many(tmp_path, address: str) -> int:
    photo = tmp_path / "a.jpg"
    photo.write_bytes(b"a photo")
    how = Many(out=tmp_path / "out", jobs=None, time_limit_s=60.0, cluster=address)
    showing = Showing(out=how.out, pictures=False, json=False, inch=False)
    return measured_many(Request(takes=takes_of([photo])), how, showing, strict=False)


def test_without_dask_one_sentence_says_what_to_install(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "beadcheck.many_photos.cluster", None)
    with pytest.raises(ClusterExtraMissingError, match=r"beadcheck\[cluster\]"):
        many(tmp_path, "tcp://127.0.0.1:8786")


@pytest.mark.parametrize("answer", [b"", b"HTTP/1.1 400 Bad Request\r\n\r\n", bytes(64)])
def test_whoever_listens_there_and_says_nothing_or_else_is_no_scheduler(monkeypatch, answer):
    monkeypatch.setattr(cluster, "REACHED_WITHIN_S", 0.5)
    with socket.create_server(("127.0.0.1", 0)) as other:
        address = f"tcp://127.0.0.1:{other.getsockname()[1]}"

        def serve() -> None:
            caller, _ = other.accept()
            with caller:
                caller.sendall(answer)
                caller.recv(4096)
                time.sleep(2.0)

        threading.Thread(target=serve, daemon=True).start()
        with (
            pytest.raises(ClusterNotReachedError, match=address),
            cluster.cluster_workers(address, limit_s=60.0),
        ):
            pass


def test_a_scheduler_with_another_dask_is_told_in_a_sentence(monkeypatch):
    def refuse(*_: object, **__: object) -> None:
        raise ImportError("Mismatched versions found")  # as Client does when the scheduler says so

    monkeypatch.setattr(distributed, "Client", refuse)
    with (
        pytest.raises(ClusterDaskVersionError, match=r"tcp://a:1"),
        cluster.cluster_workers("tcp://a:1", limit_s=60.0),
    ):
        pass


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:9", "nonsense", "ftp://127.0.0.1:9"])
def test_an_address_where_no_scheduler_answers_is_refused(tmp_path, monkeypatch, address):
    monkeypatch.setattr(cluster, "REACHED_WITHIN_S", 0.5)
    began = time.monotonic()
    with pytest.raises(ClusterNotReachedError, match=address):
        many(tmp_path, address)
    assert time.monotonic() - began < 60.0
