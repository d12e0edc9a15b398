"""What the journeys to heights share: each take of the samples measured once, with its truth."""

import json
import math
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .conftest import ROOT, run_command

SAMPLES = ROOT / "samples"
PIPE = ("--pipe", "NPS 8")
STEP = ("--step", "5,0.06")
TAKES: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "pipe side-on": (("pipe-smaw-side-on",), ("--kind", "side-on", *PIPE)),
    "pipe laser": (("pipe-smaw-light-line",), ("--kind", "light-line", *PIPE, *STEP)),
    "pipe pair": (
        ("pipe-smaw-pair-a", "pipe-smaw-pair-b"),
        ("--kind", "pair", *PIPE, *STEP, "--step-at", "1232,634"),
    ),
    "plate laser": (("plate-gmaw-light-line",), ("--kind", "light-line", *STEP)),
    "plate shadow": (("plate-gmaw-light-line-2",), ("--kind", "light-line", *STEP)),
    "plate pair": (("plate-gmaw-pair-a", "plate-gmaw-pair-b"), ("--kind", "pair", *STEP)),
}
"""Photos and flags of every take of the samples that gives heights."""

Document = dict[str, Any]


@cache
def measured(take: str) -> Document:
    """Return the result of one take, by the installed command."""
    names, flags = TAKES[take]
    photos = [SAMPLES / f"{name}.jpg" for name in names]
    with TemporaryDirectory() as folder:
        done = run_command("measure", *photos, *flags, "--json", cwd=folder)
    assert done.returncode == 0, done.stderr
    document: Document = json.loads(done.stdout)
    return document


@cache
def truth_of(take: str) -> Document:
    """Return the truth of a take's first photo."""
    file = SAMPLES / "truth" / f"{TAKES[take][0][0]}.json"
    truth: Document = json.loads(Path(file).read_text("utf-8"))
    return truth


def reading(profile: Document, name: str, side: str | None = None) -> tuple[float, float] | None:
    """Return value and expanded uncertainty of what one profile says, if it says so."""
    for each in profile["readings"]:
        if (each["name"], each["side"]) == (name, side):
            return each["value"], each["expanded_uncertainty"]
    return None


def crown_st_mm(take: str, profile: Document) -> NDArray[np.float64]:
    """Return where the highest point of a profile's weld lies, as the truth counts s and t."""
    across = np.array(profile["across_mm"])
    height = np.array(profile["height_mm"], dtype=np.float64)
    inside = np.isfinite(height) & (np.abs(across) < 6.0)
    top = int(np.flatnonzero(inside)[height[inside].argmax()])
    return st_mm(take, profile["points_px"][top], height[top])


def st_mm(take: str, px: list[float], height_mm: float) -> NDArray[np.float64]:
    """Where the sight line of a pixel meets the metal's surface raised by a height."""
    truth = truth_of(take)
    camera = truth["camera"]
    eye = np.array(camera["eye_mm"])
    ray = np.array(camera["R"]).T @ np.linalg.solve(np.array(camera["K"]), np.array([*px, 1.0]))
    radius = truth["surface"]["radius_mm"]
    if radius is None:
        return np.asarray((eye + (height_mm - eye[2]) / ray[2] * ray)[:2])
    start, square = eye[[0, 2]] + [0.0, radius], ray[[0, 2]]
    a, b = square @ square, square @ start
    c = start @ start - (radius + height_mm) ** 2
    met = eye + (-b - math.sqrt(b * b - a * c)) / a * ray
    return np.array([radius * math.atan2(met[0], met[2] + radius), met[1]])


def side_of(take: str, profile: Document, toe: str) -> str:
    """Return whether the truth's toe ("lo" or "hi") is the profile's left or right one."""
    truth = truth_of(take)
    line = np.array(truth["weld"]["toes"][f"{toe}_px"], dtype=np.float64)
    if truth["limb"] is not None:
        limb = truth["limb"]
        at = int(np.argmin(np.abs(np.array(limb["t_mm"]) - limb[f"toe_{toe}_t_mm"])))
        line = np.array(limb["bare_limb_px"][at : at + 1])
    off = {
        side: np.nanmin(np.linalg.norm(line - profile[f"{side}_toe_px"], axis=1))
        for side in ("left", "right")
    }
    return min(off, key=lambda side: float(off[side]))


def section_near(take: str, s_mm: float) -> Document:
    """Return the values of the truth's section nearest to a station."""
    sections = truth_of(take)["profiles"]
    near: Document = min(sections, key=lambda section: abs(section["s"] - s_mm))
    return near
