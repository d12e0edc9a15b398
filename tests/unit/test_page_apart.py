"""Photos that hang or kill what measures them, and whatever may come through the photos' door."""

import asyncio
import io
import json
import os
import signal
import time
from collections.abc import AsyncIterator, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import ExifTags, Image
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.testclient import TestClient

from beadcheck.camera.book import CameraBook
from beadcheck.photo import PhotoKind
from beadcheck.stoppable import StoppableProcess
from beadcheck_page.apart import LookedApart, MeasuredApart
from beadcheck_page.bench import MOST_WAITING, Bench
from beadcheck_page.doors import doors
from beadcheck_page.entries import Entries
from beadcheck_page.guard import COOKIE, OWN_HEADER
from beadcheck_page.intake import StoredPhoto, photo_key, store_photo
from beadcheck_page.orders import Order, Phase, Progress
from beadcheck_page.photo_refusals import (
    PhotoBrokeOffError,
    PhotoTookTooLongError,
    StoppedArrivingError,
    TooManyArrivingError,
)
from beadcheck_page.receiving import receiver
from beadcheck_page.refusals import TooManyWaitingError
from beadcheck_page.takes import PageTake
from beadcheck_page.understanding import understood
from beadcheck_page.visits import MAX_PHOTOS, MOST_ARRIVING, Visits

SETTINGS = understood(Entries(shape="plate"), limit_names=())
PATIENCE_S = 60.0
SIZE_PX = (640, 480)


def picture(size_px: tuple[int, int] = SIZE_PX, **saved: Any) -> bytes:
    """A photo of nothing: read and refused at once, for there is no target in it."""
    rng = np.random.default_rng(7)
    codes = rng.integers(60, 200, (SIZE_PX[1] // 8, SIZE_PX[0] // 8, 3)).astype(np.uint8)
    buffer = io.BytesIO()
    Image.fromarray(codes).resize(size_px).save(buffer, **{"format": "JPEG", **saved})
    return buffer.getvalue()


@pytest.fixture(scope="module")
def process() -> Iterator[StoppableProcess]:
    process = StoppableProcess()
    yield process
    process.stop()


@pytest.fixture(scope="module")
def measuring() -> Iterator[StoppableProcess]:
    """Another one, as the page has two: each serves one thread."""
    process = StoppableProcess()
    yield process
    process.stop()


@pytest.fixture
def photo(tmp_path: Path) -> StoredPhoto:
    sent = tmp_path / "cap 7.jpg"
    sent.write_bytes(picture())
    return store_photo(sent, name=sent.name, home=tmp_path / photo_key(), cameras=CameraBook())


def order_of(*photos: StoredPhoto) -> Order:
    takes = tuple(PageTake(kind=PhotoKind.FACE, photos=(each,)) for each in photos)
    return Order(takes=takes, settings=SETTINGS)


def ended(bench: Bench, key: str) -> Progress:
    end_s = time.monotonic() + PATIENCE_S
    while time.monotonic() < end_s:
        progress = bench.progress(key)
        if progress is not None and not progress.running:
            return progress
        time.sleep(0.01)
    raise AssertionError(bench.progress(key))


# ---- what is measured


def test_a_photo_that_takes_too_long_is_stopped_and_named_and_the_next_is_measured(
    process: StoppableProcess, photo: StoredPhoto, tmp_path: Path
) -> None:
    hasty, patient = Bench(MeasuredApart(process, measure_s=0.001)), Bench(MeasuredApart(process))
    stopped = ended(hasty, hasty.submit(order_of(photo), tmp_path))
    hasty.close()
    assert stopped.phase is Phase.FAILED
    assert stopped.sentence == str(PhotoTookTooLongError("cap 7.jpg", 0.001))
    done = ended(patient, patient.submit(order_of(photo), tmp_path))
    patient.close()
    assert done.outcome is not None
    assert [problem.code for problem in done.outcome.result.photos[0].problems]
    assert done.measured == 1


def test_a_crash_while_measuring_names_the_photo_in_hand_and_the_page_goes_on(
    process: StoppableProcess, photo: StoredPhoto, tmp_path: Path
) -> None:
    second = StoredPhoto(**{**{n: getattr(photo, n) for n in photo.__slots__}, "name": "b.jpg"})
    apart = MeasuredApart(process)
    done = 0

    def kill_after_the_first() -> None:
        nonlocal done
        done += 1
        assert process._process is not None
        os.kill(process._process.pid, signal.SIGSEGV)

    folder = tmp_path / "results"
    folder.mkdir()
    with pytest.raises(PhotoBrokeOffError, match=r"Work on b\.jpg broke off"):
        apart("key", order_of(photo, second), folder, kill_after_the_first)
    assert done == 1
    bench = Bench(apart)
    assert ended(bench, bench.submit(order_of(photo, second), tmp_path)).phase is Phase.DONE
    bench.close()


def test_a_crash_names_every_photo_that_was_in_hand_where_several_are_measured_at_once(
    photo: StoredPhoto, tmp_path: Path
) -> None:
    kept = {name: getattr(photo, name) for name in photo.__slots__}
    photos = [StoredPhoto(**{**kept, "name": f"{name}.jpg"}) for name in "abcd"]
    process = StoppableProcess(threads=2)

    def kill() -> None:
        assert process._process is not None
        os.kill(process._process.pid, signal.SIGSEGV)

    (tmp_path / "results").mkdir()
    try:
        with pytest.raises(PhotoBrokeOffError, match=r"Work on b\.jpg or c\.jpg broke off"):
            MeasuredApart(process, at_once=2)("key", order_of(*photos), tmp_path / "results", kill)
    finally:
        process.stop()


def test_more_orders_than_anybody_would_wait_for_are_refused(tmp_path: Path) -> None:
    with ThreadPoolExecutor(1) as pool:
        let_go = pool.submit(time.sleep, 0.2)
        bench = Bench(lambda *_: let_go.result())  # type: ignore[arg-type,return-value]
        keys = [bench.submit(order_of(), tmp_path) for _ in range(MOST_WAITING)]
        with pytest.raises(TooManyWaitingError, match="the photos stay here"):
            bench.submit(order_of(), tmp_path)
        bench.drop(keys[-1])
        bench.submit(order_of(), tmp_path)
        bench.close()


# ---- what comes in


class Shop:
    """The photos' door, without Gradio beside it, and one visitor."""

    def __init__(
        self, folder: Path, process: StoppableProcess, measuring: StoppableProcess
    ) -> None:
        self.folder, self.looked = folder, LookedApart(process)
        self.bench = Bench(MeasuredApart(measuring))
        self.visits = Visits(folder, self.bench)
        self.token = self.visits.begin()
        self.own = {"cookie": f"{COOKIE}={self.token}", OWN_HEADER: "page"}
        self.app = Starlette(routes=doors(self.visits, self.looked))
        self.client = TestClient(self.app)

    def send(self, contents: bytes, name: str = "a.jpg") -> str:
        answer = self.client.post(
            "/photos", params={"name": name}, content=contents, headers=self.own
        )
        assert answer.status_code == 200
        return str(answer.json()["sentence"])

    @property
    def photos(self) -> tuple[StoredPhoto, ...]:
        visit = self.visits.look(self.token)
        assert visit is not None
        assert not visit.receiving
        return visit.photos

    def files(self) -> list[Path]:
        return sorted(each for each in self.folder.rglob("*") if each.is_file())


@pytest.fixture
def shop(tmp_path: Path, process: StoppableProcess, measuring: StoppableProcess) -> Iterator[Shop]:
    shop = Shop(tmp_path / "visits", process, measuring)
    shop.folder.mkdir()
    yield shop
    shop.bench.close()


@pytest.mark.parametrize(
    "contents",
    [
        b"",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"<!doctype html><script>alert(1)</script>",
        b"#!/bin/sh\nrm -rf /\n",
        b"MZ\x90\x00" + bytes(300),
        picture()[:2000],
    ],
)
def test_what_is_no_photo_is_refused_by_its_contents_and_leaves_no_file(
    shop: Shop, contents: bytes
) -> None:
    said = shop.send(contents, "cap.jpg")
    assert said
    assert "inside beadcheck" not in said
    assert "cap.jpg" in said
    assert shop.photos == ()
    assert shop.files() == []


@pytest.mark.parametrize(
    "name",
    [
        "../../../../etc/passwd",
        "/etc/passwd",
        "..\\..\\boot.ini",
        "a\x00b.jpg",
        "CON",
        "preview.jpeg",
        "\u202egpj.exe",
        "x" * 5000,
        "",
        ".",
    ],
)
def test_no_name_from_a_browser_leads_out_of_the_visits_folder(shop: Shop, name: str) -> None:
    assert shop.send(picture(), name) == ""
    (photo,) = shop.photos
    home = photo.path.parent
    assert home.parent.parent == shop.folder
    assert set(shop.files()) == {photo.path, photo.preview, photo.thumbnail}
    assert len({photo.path, photo.preview, photo.thumbnail}) == 3


def test_a_photo_is_known_by_its_contents_and_kept_without_place_time_or_serial_number(
    shop: Shop,
) -> None:
    data = Image.Exif()
    data[ExifTags.Base.Make] = "Harrow Quay"
    data[ExifTags.Base.DateTime] = "2026:05:03 10:11:12"
    data.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.BodySerialNumber] = "HQ-0071"
    data.get_ifd(ExifTags.IFD.GPSInfo).update({1: "N", 2: (48.0, 51.0, 24.0)})
    assert shop.send(picture(format="PNG", exif=data), "notes.txt") == ""
    (photo,) = shop.photos
    for file in shop.files():
        contents = file.read_bytes()
        assert b"HQ-0071" not in contents
        assert b"2026:05:03" not in contents
        with Image.open(file) as kept:
            assert not kept.getexif().get_ifd(ExifTags.IFD.GPSInfo)
    with Image.open(photo.path) as kept:
        assert kept.getexif()[ExifTags.Base.Make] == "Harrow Quay"


def test_a_visit_takes_in_no_more_than_it_may_and_gives_all_files_back(shop: Shop) -> None:
    said = [shop.send(picture(), "a.jpg") for _ in range(MAX_PHOTOS + 1)]
    assert said[:-1] == [""] * MAX_PHOTOS
    assert f"already {MAX_PHOTOS} photos" in said[-1]
    shop.visits.empty(shop.token)
    assert shop.files() == []


def test_people_who_send_and_measure_at_once_each_get_what_is_theirs(shop: Shop) -> None:
    """The short form of `tests/benchmarks/load.py`."""

    def one(number: int) -> tuple[str, int, int]:
        token = shop.visits.begin()
        own = {"cookie": f"{COOKIE}={token}", OWN_HEADER: "page"}
        size_px = (SIZE_PX[0] + 16 * number, SIZE_PX[1])
        answer = client.post(
            "/photos", params={"name": "cap.jpg"}, content=picture(size_px), headers=own
        )
        assert answer.json()["sentence"] == ""
        visit = shop.visits.look(token)
        assert visit is not None
        shop.visits.start(token, order_of(*visit.photos), Entries())
        visit = shop.visits.look(token)
        assert visit is not None
        assert visit.progress is not None
        key = ended(shop.bench, visit.progress.key).key
        for other, status in ((own, 200), (shop.own, 404)):
            given = client.get(f"/results/{key}/large-1.jpg", headers=other)
            assert given.status_code == status
        mine = client.get(f"/results/{key}/large-1.jpg", headers=own).content
        with Image.open(io.BytesIO(mine)) as shown:
            return key, shown.width, size_px[0]

    # One loop for all, as the page has.
    with TestClient(shop.app) as client, ThreadPoolExecutor(5) as pool:
        got = list(pool.map(one, range(5)))
    assert len({key for key, _, _ in got}) == 5
    assert [width for _, width, _ in got] == [sent for _, _, sent in got]


def test_no_folder_is_listed_and_no_key_of_another_opens(shop: Shop) -> None:
    shop.send(picture())
    (photo,) = shop.photos
    for path in (
        "/photos",
        "/photos/",
        f"/photos/{photo.key}",
        f"/photos/{photo.key}/",
        "/results/",
    ):
        assert shop.client.get(path, headers=shop.own).status_code in {404, 405}
    seen = f"/photos/{photo.key}/preview.jpg"
    assert shop.client.get(seen, headers=shop.own).status_code == 200
    other = {"cookie": f"{COOKIE}={shop.visits.begin()}", OWN_HEADER: "page"}
    assert shop.client.get(seen, headers=other).status_code == 404
    shop.client.delete(f"/photos/{photo.key}", headers=other)
    assert shop.photos == (photo,)


def asked(shop: Shop, pieces: AsyncIterator[bytes], *, silence_s: float) -> str:
    """Answer of the door to a photo that arrives piece by piece."""
    headers = [(name.encode(), value.encode()) for name, value in shop.own.items()]
    scope = {
        "type": "http",
        "method": "POST",
        "path": "/photos",
        "query_string": b"name=a.jpg",
        "headers": headers,
    }

    async def receive() -> dict[str, Any]:
        async for piece in pieces:
            return {"type": "http.request", "body": piece, "more_body": True}
        return {"type": "http.request", "body": b"", "more_body": False}

    async def ask() -> str:
        take_in = receiver(shop.visits, shop.looked, silence_s=silence_s)
        answer = await take_in(Request(scope, receive))
        return str(json.loads(bytes(answer.body))["sentence"])

    with ThreadPoolExecutor(1) as pool:  # a browser's loop may be running in this thread
        return pool.submit(asyncio.run, ask()).result()


def test_a_sender_that_falls_silent_is_told_and_gives_its_place_back(shop: Shop) -> None:
    async def half() -> AsyncIterator[bytes]:
        yield picture()[:1000]
        await asyncio.sleep(PATIENCE_S)

    assert asked(shop, half(), silence_s=0.05) == str(StoppedArrivingError())
    assert shop.photos == ()
    assert shop.files() == []


def test_start_afresh_while_a_photo_arrives_leaves_nothing_of_it(shop: Shop) -> None:
    async def emptied_half_way() -> AsyncIterator[bytes]:
        yield picture()[:1000]
        shop.visits.empty(shop.token)
        yield picture()[1000:]

    assert "send the photo again" in asked(shop, emptied_half_way(), silence_s=PATIENCE_S)
    assert shop.photos == ()
    assert shop.files() == []
    assert shop.send(picture()) == ""


def test_photos_on_their_way_at_once_are_limited_over_all_visits(shop: Shop) -> None:
    waiting = []
    for number in range(MOST_ARRIVING):
        token = shop.visits.begin() if number % MAX_PHOTOS == 0 else waiting[-1][0]
        waiting.append((token, shop.visits.expect_photo(token)))
    assert shop.send(picture()) == str(TooManyArrivingError(MOST_ARRIVING))
    shop.visits.photo_came(*waiting[0], None)
    assert shop.send(picture()) == ""
    token, folder = waiting[1]
    shop.visits.empty(token)  # what is on its way comes, all the same
    shop.visits.expect_photo(token)
    assert shop.send(picture()) == str(TooManyArrivingError(MOST_ARRIVING))
    shop.visits.photo_came(token, folder, None)
    assert shop.send(picture()) == ""
    assert len(shop.photos) == 2
