"""Processor time of each stage of a measurement, taken from outside the package."""

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from importlib import import_module
from typing import Final

STAGES: Final = {
    "decode, and look whether it is whole": ("beadcheck.photo.read", "read_photo"),
    "find target": ("beadcheck.target.find", "find_target"),
    "solve surface": ("beadcheck.surface.solve", "solve_surface"),
    "find weld": ("beadcheck.toes.locate", "locate_weld"),
    "map": ("beadcheck.beadmap", "bead_map"),
    "toes": ("beadcheck.toes.follow", "follow_weld"),
    "stations": ("beadcheck.toes.stations", "stations"),
    "ripples": ("beadcheck.measurements.ripples", "find_ripples"),
    "beads side by side": ("beadcheck.measurements.layer.find", "find_layer"),
    "places to look at": ("beadcheck.indications.find", "find_candidates"),
    "light and sharpness": ("beadcheck.photo_advice.judge", "judged_photo"),
}
REST: Final = "all else"


def clocked_stages(work: Callable[[], object]) -> dict[str, float]:
    """Seconds of this thread that each stage took in `work`, less those of stages inside it."""
    spent = dict.fromkeys([*STAGES, REST], 0.0)
    inside = [0.0]

    def clocked(name: str, function: Callable[..., object]) -> Callable[..., object]:
        @wraps(function)
        def timed(*given: object, **named: object) -> object:
            start = time.thread_time()
            inside.append(0.0)
            try:
                return function(*given, **named)
            finally:
                whole = time.thread_time() - start
                spent[name] += whole - inside.pop()
                inside[-1] += whole

        return timed

    with _replaced(clocked):
        start = time.thread_time()
        work()
        spent[REST] = time.thread_time() - start - inside[0]
    return spent


@contextmanager
def _replaced(
    clocked: Callable[[str, Callable[..., object]], Callable[..., object]],
) -> Iterator[None]:
    """Let every module that calls a stage call its clocked twin for a while."""
    kept = []
    for name, (module, function) in STAGES.items():
        try:
            original = getattr(import_module(module), function)
        except ModuleNotFoundError:  # an earlier checkout
            continue
        twin = clocked(name, original)
        for user in list(sys.modules.values()):
            if getattr(user, "__name__", "").startswith("beadcheck."):
                kept += [(user, key, original) for key, v in vars(user).items() if v is original]
        for user, key, what in kept:
            if what is original:
                setattr(user, key, twin)
    try:
        yield
    finally:
        for user, key, original in kept:
            setattr(user, key, original)
