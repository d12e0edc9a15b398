"""Work side by side ends in its own order, in as many threads as OpenCV may use."""

import threading

import cv2
import pytest

from beadcheck.side_by_side import both, side_by_side


@pytest.fixture
def threads(request):
    before = cv2.getNumThreads()
    cv2.setNumThreads(request.param)
    yield request.param
    cv2.setNumThreads(before)


@pytest.mark.parametrize("threads", [2], indirect=True)
def test_two_pieces_are_worked_on_at_once(threads):
    together = threading.Barrier(threads, timeout=20.0)

    def meet(piece):
        together.wait()
        return 10 * piece

    assert side_by_side(meet, [3, 1]) == [30, 10]


@pytest.mark.usefixtures("threads")
@pytest.mark.parametrize("threads", [1], indirect=True)
def test_one_thread_is_the_callers_own():
    assert set(side_by_side(lambda _: threading.get_ident(), range(4))) == {threading.get_ident()}


@pytest.mark.usefixtures("threads")
@pytest.mark.parametrize("threads", [1, 2], indirect=True)
def test_two_different_works_keep_their_places_and_tell_their_failures():
    assert both(lambda: 3, lambda: "bead") == (3, "bead")
    for works in ((lambda: 1 // 0, lambda: 2), (lambda: 2, lambda: 1 // 0)):
        with pytest.raises(ZeroDivisionError):
            both(*works)
