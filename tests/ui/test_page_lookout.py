"""The quick look behind the page: once a photo, in the background, and never an error's detail."""

import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from beadcheck.coupon import Coupon, Shape
from beadcheck.errors.target import NoMarkerError
from beadcheck.photo_advice import PhotoAdvice
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.lookout import Look, Lookout, LookState, Wanted

PATIENCE_S = 10.0
PLATE = Wanted(coupon=Coupon())
PIPE = Wanted(coupon=Coupon(shape=Shape.PIPE, outside_diameter_mm=219.1))
SOFT = PhotoAdvice(code="blurred", message="The photo is blurred: retake it.")


def stored(key: str) -> StoredPhoto:
    nowhere = Path(key)
    return StoredPhoto(
        key=key,
        name=f"{key}.jpg",
        path=nowhere,
        preview=nowhere,
        thumbnail=nowhere,
        width_px=640,
        height_px=480,
    )


class Work:
    """Looks that wait for a sign, and count."""

    def __init__(self) -> None:
        self.opened = threading.Event()
        self.done: list[tuple[str, Wanted]] = []
        self.error: Exception | None = None

    def __call__(self, path: Path, wanted: Wanted) -> tuple[PhotoAdvice, ...]:
        self.opened.wait(PATIENCE_S)
        self.done.append((path.name, wanted))
        if self.error is not None:
            raise self.error
        return (SOFT,) if path.name == "soft" else ()


@pytest.fixture
def work() -> Work:
    return Work()


@pytest.fixture
def lookout(work: Work) -> Iterator[Lookout]:
    lookout = Lookout(work)
    yield lookout
    work.opened.set()
    lookout.close()


def seen(lookout: Lookout, photo: StoredPhoto, wanted: Wanted) -> Look:
    end_s = time.monotonic() + PATIENCE_S
    while time.monotonic() < end_s:
        look = lookout.look(photo, wanted)
        if look.state is LookState.DONE:
            return look
        time.sleep(0.01)
    raise AssertionError(photo)


def test_asking_returns_at_once_and_looks_only_once(lookout: Lookout, work: Work) -> None:
    soft, sharp = stored("soft"), stored("sharp")
    for _ in range(3):
        looks = [lookout.look(photo, PLATE) for photo in (soft, sharp)]
        assert {look.state for look in looks} == {LookState.LOOKING}
    work.opened.set()
    assert seen(lookout, soft, PLATE).advice == (SOFT,)
    assert seen(lookout, sharp, PLATE).advice == ()
    assert work.done == [("soft", PLATE), ("sharp", PLATE)]


def test_another_coupon_is_looked_at_anew_and_the_first_look_is_kept(
    lookout: Lookout, work: Work
) -> None:
    photo = stored("soft")
    work.opened.set()
    for wanted in (PLATE, PIPE, PLATE):
        seen(lookout, photo, wanted)
    assert work.done == [("soft", PLATE), ("soft", PIPE)]


def test_without_a_pipe_size_nothing_is_looked_at(lookout: Lookout, work: Work) -> None:
    photo = stored("soft")
    assert lookout.look(photo, None).state is LookState.UNSETTLED
    assert work.done == []


def test_a_refusal_is_advice_and_a_fault_keeps_its_detail_to_itself(
    lookout: Lookout, work: Work
) -> None:
    work.opened.set()
    work.error = NoMarkerError()
    (refused,) = seen(lookout, stored("a"), PLATE).advice
    assert (refused.code, refused.stops) == ("no_marker", True)
    work.error = RuntimeError("secret detail")
    (fault,) = seen(lookout, stored("b"), PLATE).advice
    assert "secret detail" not in fault.message
    assert "(fault " in fault.message
