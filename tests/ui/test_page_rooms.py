"""The parts under the page: who waits for what, and what is swept away."""

import os
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pytest
from PIL import ExifTags, Image

from beadcheck.camera.book import CameraBook
from beadcheck.photo import read_photo
from beadcheck_page.bench import Bench
from beadcheck_page.entries import Entries
from beadcheck_page.guard import host_allowed
from beadcheck_page.intake import photo_key, store_photo
from beadcheck_page.lodging import LEFT_BEHIND_S, PREFIX, lodging, sweep_left_behind
from beadcheck_page.network import lan_addresses
from beadcheck_page.orders import Order, Outcome, Phase
from beadcheck_page.photo_refusals import TooManyPhotosError
from beadcheck_page.refusals import MissingEntryError, UnusableEntryError
from beadcheck_page.serving import PortTakenError, running_page
from beadcheck_page.understanding import understood
from beadcheck_page.visits import IDLE_S, MAX_PHOTOS, MAX_VISITS, Visits

from .scene import SAMPLE_FOCAL_35MM_MM

SETTINGS = understood(Entries(), limit_names=())
PATIENCE_S = 10.0


@dataclass
class Clock:
    now_s: float = 0.0

    def __call__(self) -> float:
        return self.now_s


@dataclass
class Gate:
    """Work that waits until it is let through, and fails when told to."""

    opened: threading.Event = field(default_factory=threading.Event)
    failing: bool = False

    def __call__(self, key: str, order: Order, folder: Path, photo_done: object) -> Outcome:
        self.opened.wait(PATIENCE_S)
        if self.failing:
            msg = f"secret detail of {folder} for {order.photos} after {photo_done}"
            raise RuntimeError(msg)
        raise AssertionError(key)


@pytest.fixture
def gate() -> Gate:
    return Gate()


@pytest.fixture
def bench(gate: Gate) -> Iterator[Bench]:
    bench = Bench(gate)
    yield bench
    gate.opened.set()
    bench.close()


def until(bench: Bench, key: str, phase: Phase) -> str:
    end_s = time.monotonic() + PATIENCE_S
    while time.monotonic() < end_s:
        progress = bench.progress(key)
        if progress is not None and progress.phase is phase:
            return progress.sentence
        time.sleep(0.01)
    raise AssertionError(phase)


def test_orders_wait_in_turn_and_know_how_many_are_ahead(bench: Bench, tmp_path: Path) -> None:
    first, second, third = (
        bench.submit(Order(takes=(), settings=SETTINGS), tmp_path) for _ in range(3)
    )
    until(bench, first, Phase.MEASURING)
    waiting = [bench.progress(key) for key in (second, third)]
    assert [each.ahead for each in waiting if each is not None] == [1, 2]
    bench.drop(second)
    last = bench.progress(third)
    assert last is not None
    assert last.ahead == 1


def test_an_unexpected_error_becomes_one_sentence_without_its_detail(
    bench: Bench, gate: Gate, tmp_path: Path
) -> None:
    gate.failing = True
    gate.opened.set()
    key = bench.submit(Order(takes=(), settings=SETTINGS), tmp_path)
    sentence = until(bench, key, Phase.FAILED)
    assert "secret detail" not in sentence
    assert "(fault " in sentence


def test_an_idle_visit_is_forgotten_with_its_files(
    bench: Bench, weld: Path, tmp_path: Path
) -> None:
    clock = Clock()
    visits = Visits(tmp_path, bench, clock=clock)
    idle, busy = visits.begin(), visits.begin()
    for token in (idle, busy):
        folder = visits.expect_photo(token)
        home = folder / photo_key()
        photo = store_photo(weld, name="cap.jpg", home=home, cameras=CameraBook())
        visits.photo_came(token, folder, photo)
    clock.now_s = IDLE_S
    assert visits.known(busy)
    clock.now_s = IDLE_S + 1.0
    visits.sweep()
    assert not visits.known(idle)
    assert len(list(tmp_path.iterdir())) == 1
    visits.empty(busy)
    assert list(tmp_path.iterdir()) == []


def test_a_photo_is_kept_to_the_pixel_with_its_lens_but_without_its_place(
    weld: Path, tmp_path: Path
) -> None:
    sent, kept = (
        read_photo(weld),
        store_photo(weld, name="cap.jpg", home=tmp_path / photo_key(), cameras=CameraBook()),
    )
    again = read_photo(kept.path)
    assert np.array_equal(again.pixels_bgr, sent.pixels_bgr)
    assert again.lens == sent.lens
    assert again.lens.focal_35mm_mm == SAMPLE_FOCAL_35MM_MM
    for file in kept.path.parent.iterdir():
        with Image.open(file) as picture:
            assert not picture.getexif().get_ifd(ExifTags.IFD.GPSInfo)


def test_the_focal_length_is_kept_where_the_photo_names_no_maker(tmp_path: Path) -> None:
    sample = Path(__file__).parents[2] / "samples" / "plate-gmaw-stringer.jpg"
    kept = store_photo(sample, name="cap.jpg", home=tmp_path / photo_key(), cameras=CameraBook())
    lens = read_photo(kept.path).lens
    assert lens.make is None
    assert lens == read_photo(sample).lens
    assert lens.focal_35mm_mm == 35.0


def test_a_visit_takes_no_more_photos_than_it_can_measure(bench: Bench, tmp_path: Path) -> None:
    visits = Visits(tmp_path, bench)
    token = visits.begin()
    for _ in range(MAX_PHOTOS):
        visits.expect_photo(token)
    with pytest.raises(TooManyPhotosError):
        visits.expect_photo(token)


def test_whoever_only_opens_the_page_pushes_out_nobody_who_sent_photos(
    bench: Bench, tmp_path: Path
) -> None:
    visits = Visits(tmp_path, bench)
    busy = visits.begin()
    visits.expect_photo(busy)
    for _ in range(2 * MAX_VISITS):
        visits.begin()
    assert visits.known(busy)


def test_tokens_that_were_not_made_here_open_nothing(bench: Bench, tmp_path: Path) -> None:
    visits = Visits(tmp_path, bench)
    token = visits.begin()
    assert visits.known(token)
    for foreign in (None, "", token[:-1], token + "x"):
        assert not visits.known(foreign)


def test_the_folder_is_private_and_gone_at_the_end() -> None:
    with lodging() as folder:
        assert folder.stat().st_mode & 0o077 == 0
        (folder / "photo").write_bytes(b"x")
    assert not folder.exists()


def test_what_a_killed_page_left_is_swept_but_a_running_page_is_not(tmp_path: Path) -> None:
    left, running, other = (tmp_path / name for name in (f"{PREFIX}a", f"{PREFIX}b", "theirs"))
    for folder in (left, running, other):
        folder.mkdir()
    long_ago_s = time.time() - LEFT_BEHIND_S - 1.0
    os.utime(left, (long_ago_s, long_ago_s))
    os.utime(other, (long_ago_s, long_ago_s))
    sweep_left_behind(tmp_path)
    assert not left.exists()
    assert running.exists()
    assert other.exists()


def test_on_the_network_a_host_is_a_number_or_this_computers_own_name() -> None:
    assert host_allowed("192.168.4.1:7860", lan=True)
    assert host_allowed("[fe80::1]:7860", lan=True)
    assert not host_allowed("attacker.example:7860", lan=True)
    assert not host_allowed("", lan=True)


def test_addresses_for_phones_leave_out_this_computers_own_loop() -> None:
    assert not [each for each in lan_addresses() if each.startswith("127.")]


def test_a_taken_port_is_told_in_a_sentence(port: int, address: str) -> None:
    with (
        pytest.raises(PortTakenError, match=f"Port {port} is in use"),
        running_page(port),
    ):
        raise AssertionError(address)


@pytest.mark.parametrize(
    "entries",
    [
        Entries(shape="sphere"),
        Entries(wall_thickness="9"),
        Entries(wall_thickness=float("nan")),
        Entries(wall_thickness=True),
        Entries(wall_thickness=-1),
        Entries(wall_thickness=1e9),
        Entries(position="5G"),
        Entries(process="gtaw-pulsed", peak_s=100, background_s=1, times_are="seconds"),
        Entries(limits="../limits.toml"),
        Entries(unit="cubit"),
        Entries(no_target="yes"),
        Entries(no_target=1),
        Entries(shape="pipe", outside_diameter=1.0),
    ],
)
def test_entries_that_make_no_sense_are_refused(entries: Entries) -> None:
    with pytest.raises(UnusableEntryError):
        understood(entries, limit_names=("pipe-coupon",))


def test_a_pipe_is_understood_by_its_size_or_by_its_diameter_in_either_unit() -> None:
    # ASME B36.10M: NPS 8 is 219.1 mm (8.625 in) outside, schedule 60 is 10.31 mm; from memory.
    by_size = understood(Entries(shape="pipe", pipe_size="NPS 8", schedule="60"), limit_names=())
    by_inch = understood(
        Entries(unit="inch", shape="pipe", outside_diameter=8.625, wall_thickness=0.406),
        limit_names=(),
    )
    for settings in (by_size, by_inch):
        assert settings.coupon.outside_diameter_mm == pytest.approx(219.1, abs=0.05)
        assert settings.coupon.wall_thickness_mm == pytest.approx(10.31, abs=0.01)
    with pytest.raises(MissingEntryError):
        understood(Entries(shape="pipe"), limit_names=())
