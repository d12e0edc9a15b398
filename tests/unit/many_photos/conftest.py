"""Photos that are no photos, and workers that carry nothing out: who is asked, and how often."""

from collections.abc import Callable
from concurrent.futures import Future

import pytest

from beadcheck.coupon import Coupon
from beadcheck.many_photos import PhotoOutcome, ask_of, journal_in, measured_each
from beadcheck.many_photos.one import Made, Order
from beadcheck.many_photos.record import Said
from beadcheck.photo import PhotoKind
from beadcheck.pipeline import Request
from beadcheck.report.wording import LengthUnit


def said(outcome=PhotoOutcome.MEASURED, **changes) -> Said:
    return Said(
        outcome=outcome,
        **{
            "why": "",
            "code": "",
            "values": {"weld_width_mean_mm": (8.25, 0.25)},
            "findings": {"within": 2, "outside": 1},
            **changes,
        },
    )


class Desk:
    """Workers that answer at once with what a photo's bytes say, and remember what they got."""

    def __init__(self, at_once: int = 2, **answers: Callable[[], Made]) -> None:
        self.at_once = at_once
        self.answers = answers
        self.names: list[str] = []

    def submit(self, order: Order) -> "Future[Made]":
        self.names.append(order.photo.name)
        future: Future[Made] = Future()
        try:
            answer = self.answers.get(order.photo.contents.decode().strip(), plainly_made)
            future.set_result(answer())
        except Exception as error:  # as an executor does
            future.set_exception(error)
        return future

    def check(self) -> None:
        """Look after nobody."""


def plainly_made() -> Made:
    return Made(files={"result.json": b"{}", "stations.csv": b"photo\n"}, said=said())


@pytest.fixture
def ask():
    return ask_of(Request(takes=(), coupon=Coupon()), pictures=False, unit=LengthUnit.MM)


@pytest.fixture
def photos(tmp_path):
    """Make files of these names, holding these words, and return them as photos from above."""

    def make(**words: str):
        (tmp_path / "in").mkdir(exist_ok=True)
        made = []
        for name, word in words.items():
            path = tmp_path / "in" / f"{name}.jpg"
            path.write_bytes(word.encode())
            made.append((PhotoKind.FACE, path))
        return made

    return make


@pytest.fixture
def run(tmp_path, ask):
    """Measure photos into the one output folder; return what was told of each, by name."""

    def go(photos, desk: Desk, asked=ask):
        with journal_in(tmp_path / "out", asked.fingerprint) as journal:
            return {told.file: told for told in measured_each(photos, asked, desk, journal)}

    return go
