"""Processes of this machine: one photo hangs, one kills its process, one is measured."""

import os
import time

from beadcheck.many_photos import LocalWorkers, PhotoOutcome, journal_in, measured_each, workers
from beadcheck.many_photos.one import Made, Order

from .conftest import plainly_made


def pretend(order: Order) -> Made:
    match order.photo.contents:
        case b"hangs":
            time.sleep(3600.0)
        case b"dies":
            os._exit(9)
    return plainly_made()


def test_photos_that_hang_or_kill_their_process_cost_themselves_alone(
    photos, tmp_path, ask, monkeypatch
):
    monkeypatch.setattr(workers, "carry_out", pretend)
    given = photos(a="hangs", b="dies", c="good")
    with (
        journal_in(tmp_path / "out", ask.fingerprint) as journal,
        LocalWorkers(1, limit_s=1.0) as local,
    ):
        told = {each.file: each.record for each in measured_each(given, ask, local, journal)}
    assert [told[name].code for name in ("a.jpg", "b.jpg")] == ["work_too_long", "work_died"]
    assert "exit code 9" in told["b.jpg"].why
    assert told["c.jpg"].outcome is PhotoOutcome.MEASURED
    assert (tmp_path / "out" / told["c.jpg"].folder / "result.json").read_bytes() == b"{}"
