"""The toe placer on strips drawn with a known toe: a dark bead beside bright metal."""

import numpy as np
import pytest

from beadcheck.finder import HALF_ROWS, toe_offsets

ROWS = 2 * HALF_ROWS + 1


def drawn_strip(offset_px: float, columns: int, seed: int) -> np.ndarray:
    """Rippled dark weld above, bright metal below an edge `offset_px` off the middle row."""
    generator = np.random.default_rng(seed)
    rows = np.arange(ROWS)[:, None] - HALF_ROWS
    along = np.arange(columns)[None, :]
    weld = 70.0 + 28.0 * np.sin(along / 2.1 + 0.004 * (rows + 30.0) ** 2)
    metal = 165.0 + 6.0 * generator.standard_normal((ROWS, 1))
    share = np.clip(offset_px - rows + 0.5, 0.0, 1.0)
    grey = share * weld + (1.0 - share) * metal + 3.0 * generator.standard_normal((ROWS, columns))
    return np.repeat(np.clip(grey, 0, 255).astype(np.uint8)[..., None], 3, axis=2)


@pytest.mark.parametrize("offset_px", [-7.0, -2.5, 0.0, 4.0, 9.0])
def test_a_clear_toe_is_found_where_it_was_drawn(offset_px: float) -> None:
    found = toe_offsets(drawn_strip(offset_px, 240, 3))
    inner = slice(30, -30)
    # A pixel of the strip is about a tenth of a millimetre on an 8 mm bead.
    assert abs(np.median(found.offset_px[inner]) - offset_px) < 1.0


def test_where_there_is_no_toe_the_doubt_is_greater() -> None:
    toe = drawn_strip(1.0, 200, 5)
    none = np.random.default_rng(8).normal(140.0, 12.0, toe.shape).clip(0, 255).astype(np.uint8)
    assert np.median(toe_offsets(none).doubt_px) > 3.0 * np.median(toe_offsets(toe).doubt_px)


@pytest.mark.parametrize("columns", [60, 131, 640])
def test_there_is_one_answer_for_every_column(columns: int) -> None:
    found = toe_offsets(drawn_strip(2.0, columns, 4))
    assert found.offset_px.shape == found.doubt_px.shape == (columns,)
    assert (found.doubt_px > 0.0).all()


@pytest.mark.parametrize("shape", [(ROWS - 2, 200, 3), (ROWS, 8, 3)])
def test_a_strip_of_another_shape_is_a_caller_s_mistake(shape: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="toe strip"):
        toe_offsets(np.zeros(shape, dtype=np.uint8))
