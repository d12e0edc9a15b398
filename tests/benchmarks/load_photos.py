"""Photos for `load.py`, each with the answer that is known beforehand."""

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import cv2

from beadcheck.pipeline import Request, Take, measure
from beadcheck.result import result_to_json

SAMPLES: Final = Path(__file__).parents[2] / "samples"
USED: Final = ("plate-gmaw-stringer.jpg", "plate-gtaw-pulsed.jpg", "plate-no-weld.jpg")
SHOWN_PX: Final = range(1150, 1450, 15)
"""Longest sides: no two photos are alike."""


@dataclass(frozen=True)
class Known:
    """A photo, and what measuring it without the page gave."""

    contents: bytes
    answer: dict[str, Any]


def known_photos(folder: Path, count: int) -> list[Known]:
    """Return photos of samples, each in a size of its own, measured here and now."""
    known = []
    for number in range(count):
        pixels = cv2.imread(str(SAMPLES / USED[number % len(USED)]))
        scale = SHOWN_PX[number % len(SHOWN_PX)] / max(pixels.shape)
        smaller = cv2.resize(pixels, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
        path = folder / "known.jpg"
        cv2.imwrite(str(path), smaller, [cv2.IMWRITE_JPEG_QUALITY, 92])
        result = measure(Request(takes=(Take(photos=(path,)),)))
        known.append(Known(contents=path.read_bytes(), answer=answer_of(result_to_json(result))))
    return known


def answer_of(text: str) -> dict[str, Any]:
    """Return what must be the same, whatever the photo is called."""
    result = json.loads(text.replace("known.jpg", "NAME"))
    return {key: result[key] for key in ("quantities", "stations", "ripples", "photos")}
