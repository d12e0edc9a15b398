"""Work side by side ends in its own order, in as many threads as OpenCV may use."""

import threading

import cv2
import pytest

from beadcheck.side_by_side import both, in_turn, side_by_side


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


@pytest.mark.parametrize("threads", [2], indirect=True)
def test_results_come_in_turn_though_worked_on_at_once_and_never_far_ahead(threads):
    together, begun = threading.Barrier(threads, timeout=20.0), []

    def meet(piece):
        begun.append(piece)
        together.wait()
        return 10 * piece

    coming = in_turn(meet, [5, 3, 4, 1])
    assert not begun  # nothing before somebody asks
    assert next(coming) == 50
    assert set(begun) == {5, 3}
    assert list(coming) == [30, 40, 10]


@pytest.mark.usefixtures("threads")
@pytest.mark.parametrize("threads", [1, 2], indirect=True)
def test_a_failure_comes_in_its_turn_and_whoever_stops_asking_starts_nothing_more():
    begun = []

    def work(piece):
        begun.append(piece)
        return 1 / piece

    coming = in_turn(work, [4, 0, 5, 5, 5, 5])
    assert next(coming) == 0.25
    with pytest.raises(ZeroDivisionError):
        next(coming)
    assert 5 not in begun[3:]
    coming = in_turn(work, [4] * 6)
    next(coming)
    begun_then = len(begun)
    coming.close()
    assert len(begun) <= begun_then + 1
