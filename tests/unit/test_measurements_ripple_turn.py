"""Where the ripples' bow turns over, on drawn faces of one run and of two that meet."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from beadcheck.beadmap import Axis, BeadMap
from beadcheck.measurements.ripple_strip import weld_strip
from beadcheck.measurements.ripple_turn import bow_turn

Floats = NDArray[np.float64]
HALF_MM = 4.3
PX_PER_MM = 13.0
LENGTH_MM = 61.0
MIDDLE_MM = 0.4


def meeting_face(meet_mm: float, *, spacings_mm: tuple[float, float], seed: int) -> BeadMap:
    """Ripples that bow one way before a place and the other way behind it, each run its spacing."""
    generator = np.random.default_rng(seed)
    s = np.arange(int(LENGTH_MM * PX_PER_MM)) / PX_PER_MM
    across = np.arange(-int(6 * PX_PER_MM), int(6 * PX_PER_MM) + 1) / PX_PER_MM
    v = np.clip((across[:, None] - MIDDLE_MM) / HALF_MM, -1, 1)
    phase = np.zeros((across.size, s.size))
    for before, spacing in zip((True, False), spacings_mm, strict=True):
        gaps = spacing * (1 + 0.1 * generator.standard_normal(100))
        bow = (-1.9 if before else 1.9) * v**2
        ran = np.interp(s[None, :] - bow, np.cumsum(gaps) - 12.0, np.arange(100.0))
        phase = np.where((s < meet_mm) == before, ran, phase)
    light = 0.25 * np.exp(0.2 * (np.abs(np.cos(np.pi * phase)) - 0.64))
    light = light + generator.normal(0, 0.01, light.shape)
    grey = np.round(255.0 * np.clip(light, 0, 1) ** (1 / 2.2)).astype(np.uint8)
    return BeadMap(
        bgr=np.repeat(grey[..., None], 3, axis=2),
        seen=np.ones(grey.shape, dtype=np.bool_),
        s_mm=s,
        across_mm=across,
        px_per_mm=PX_PER_MM,
        axis=Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0)),
    )


def turn_mm(bead: BeadMap, lean: Floats) -> float | None:
    """Place of the turn, or None."""
    strip = weld_strip(
        bead,
        left_across_mm=np.full(bead.s_mm.size, MIDDLE_MM - HALF_MM),
        right_across_mm=np.full(bead.s_mm.size, MIDDLE_MM + HALF_MM),
        columns=slice(0, bead.s_mm.size),
    )
    turn = bow_turn(strip, lean)
    return None if turn is None else float(strip.s_mm[turn.column])


@pytest.mark.parametrize("meet_mm", [14.0, 33.7, 50.0])
def test_the_place_at_which_two_runs_meet_is_found_within_a_quarter_of_the_width(
    meet_mm: float,
) -> None:
    bead = meeting_face(meet_mm, spacings_mm=(1.9, 1.6), seed=7)
    found = turn_mm(bead, np.zeros(bead.s_mm.size))
    assert found is not None
    assert_allclose(found, meet_mm, atol=0.25 * 2.0 * HALF_MM)


@pytest.mark.parametrize("meet_mm", [-1.0, LENGTH_MM + 1.0])
def test_one_run_turns_nowhere_however_aslant_it_is_seen(meet_mm: float) -> None:
    bead = meeting_face(meet_mm, spacings_mm=(1.7, 1.7), seed=8)
    assert turn_mm(bead, np.zeros(bead.s_mm.size)) is None
    assert turn_mm(bead, np.linspace(-0.5, 0.5, bead.s_mm.size)) is None


def test_noise_turns_nowhere() -> None:
    bead = meeting_face(30.0, spacings_mm=(1.7, 1.7), seed=9)
    noise = np.random.default_rng(10).integers(60, 200, bead.bgr.shape[:2], dtype=np.uint8)
    grain = BeadMap(
        bgr=np.repeat(noise[..., None], 3, axis=2),
        seen=bead.seen,
        s_mm=bead.s_mm,
        across_mm=bead.across_mm,
        px_per_mm=PX_PER_MM,
        axis=bead.axis,
    )
    assert turn_mm(grain, np.zeros(bead.s_mm.size)) is None
