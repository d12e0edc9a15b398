"""What a browser sends as taps along a toe: toes of that photo, or one sentence."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from beadcheck.errors import SettingError
from beadcheck_page.correcting import tap_shares, tapped_toes
from beadcheck_page.intake import StoredPhoto

PHOTO = StoredPhoto(
    key="k3y",
    name="cap.jpg",
    path=Path("cap.jpg"),
    preview=Path("preview.jpeg"),
    thumbnail=Path("thumbnail.jpeg"),
    width_px=3000,
    height_px=4000,
)
SHARES = st.floats(0.0, 1.0)
ANYTHING = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=12,
)


@given(left=st.lists(st.tuples(SHARES, SHARES), min_size=2, max_size=9, unique=True))
def test_taps_come_back_as_the_shares_that_were_sent(left: list[tuple[float, float]]) -> None:
    sent = json.dumps({"photo": "k3y", "left": left, "right": []})
    photo, toes = tapped_toes(sent, [PHOTO])
    assert photo is PHOTO
    assert len(toes.right_px) == 0
    # Half a pixel at the photo's edge is cut, so that every point lies on a pixel.
    assert_allclose(tap_shares(toes.left_px, PHOTO), left, atol=0.5 / 3000 + 1e-6)


@given(left=ANYTHING, right=ANYTHING, photo=st.sampled_from(["k3y", "other", None]))
def test_whatever_is_sent_gives_toes_or_one_sentence(
    left: object, right: object, photo: object
) -> None:
    said = ""
    points = np.empty((0, 2))
    try:
        _, toes = tapped_toes(json.dumps({"photo": photo, "left": left, "right": right}), [PHOTO])
        points = np.concatenate([toes.left_px, toes.right_px])
    except SettingError as refused:
        said = str(refused)
    assert bool(said) != bool(len(points))
    assert "\n" not in said
    assert ((points >= 0.0) & (points <= [2999.0, 3999.0])).all()


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        (None, "two points or more"),
        ("[" * 9000, "two points or more"),
        ("[]", "two points or more"),
        ('{"photo": "gone", "left": [[0, 0], [1, 1]]}', "not in this result"),
        ('{"photo": "k3y", "left": [[0.1, 0.1]], "right": []}', "two points or more"),
        ('{"photo": "k3y", "left": [[0.1, 0.1], [0.1, 0.1]], "right": []}', "two points or more"),
        (
            '{"photo": "k3y", "left": [[0, 0], [1, 1]], "right": [[0, 1], [1, 0]]}',
            "two toes that you placed cross",
        ),
        (
            '{"photo": "k3y", "left": [[0.1, 0.5], [0.9, 0.5]],'
            ' "right": [[0.1, 0.501], [0.9, 0.501]]}',
            "same side of the weld",
        ),
    ],
)
def test_taps_that_make_no_toe_are_said_plainly(sent: object, words: str) -> None:
    with pytest.raises(SettingError, match=words):
        tapped_toes(sent, [PHOTO])
