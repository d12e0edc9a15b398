"""Several pieces of the same work at once."""

from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from typing import TypeVar

import cv2

Piece = TypeVar("Piece")
Done = TypeVar("Done")
One = TypeVar("One")
Other = TypeVar("Other")


def side_by_side(work: Callable[[Piece], Done], pieces: Sequence[Piece]) -> list[Done]:
    """Do a piece of work for each, in their order, in as many threads as OpenCV may use.

    For work that spends its time inside OpenCV and numpy, which let other threads run. Whoever
    fixes OpenCV at one thread, to use the cores otherwise, gets one here too.

    Examples
    --------
    >>> side_by_side(len, ["bead", "toe"])
    [4, 3]
    """
    threads = min(len(pieces), cv2.getNumThreads())
    if threads <= 1:
        return [work(piece) for piece in pieces]
    with ThreadPoolExecutor(threads) as pool:
        return list(pool.map(work, pieces))


def both(one: Callable[[], One], other: Callable[[], Other]) -> tuple[One, Other]:
    """Do two different pieces of work, at once where OpenCV may use two threads.

    Examples
    --------
    >>> both(lambda: "bead", lambda: 4)
    ('bead', 4)
    """
    if cv2.getNumThreads() <= 1:
        return one(), other()
    with ThreadPoolExecutor(1) as pool:
        coming = pool.submit(one)
        done = other()
        return coming.result(), done


def in_turn(work: Callable[[Piece], Done], pieces: Sequence[Piece]) -> Iterator[Done]:
    """Do a piece of work for each, and hand them out in their order, each as soon as it is done.

    In as many threads as OpenCV may use, and never more pieces ahead than that, so that results
    which are large do not pile up. Whoever stops asking waits for the pieces in hand only.

    Examples
    --------
    >>> list(in_turn(len, ["bead", "toe"]))
    [4, 3]
    """
    threads = min(len(pieces), cv2.getNumThreads())
    if threads <= 1:
        yield from map(work, pieces)
        return
    coming: deque[Future[Done]] = deque()
    pool = ThreadPoolExecutor(threads)
    try:
        for piece in pieces:
            if len(coming) == threads:
                yield coming.popleft().result()
            coming.append(pool.submit(work, piece))
        while coming:
            yield coming.popleft().result()
    finally:
        pool.shutdown(cancel_futures=True)
