"""What a browser says of a photo, and which photos are measured together by it."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from beadcheck.errors import BeadcheckError, SettingError
from beadcheck.photo import PhotoKind
from beadcheck.profiles.light_line.reference import KnownStep, LightAngle
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.takes import PageTake, page_takes
from beadcheck_page.uses import (
    FACE,
    Reference,
    Use,
    changed_use,
    light_reference,
    step_place_px,
)

ANYTHING = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=8,
)
KEYS = st.sampled_from(
    ["kind", "with", "reference", "step", "unit", "angle", "sure", "place", "clock"]
)
VIEW = Use(kind=PhotoKind.PAIR)
LIGHT = Use(kind=PhotoKind.LIGHT_LINE)


def stored(key: str, *, width_px: int = 3000, height_px: int = 4000) -> StoredPhoto:
    nowhere = Path(key)
    return StoredPhoto(
        key=key,
        name=f"{key}.jpg",
        path=nowhere,
        preview=nowhere,
        thumbnail=nowhere,
        width_px=width_px,
        height_px=height_px,
    )


def together(takes: tuple[PageTake, ...]) -> list[tuple[str, str]]:
    return [(take.kind.value, "+".join(photo.key for photo in take.photos)) for take in takes]


@given(told=st.dictionaries(KEYS, ANYTHING) | ANYTHING)
def test_whatever_is_said_of_a_photo_gives_a_use_or_one_sentence(told: object) -> None:
    said, use = "", FACE
    try:
        use = changed_use(FACE, json.loads(json.dumps(told)))
    except SettingError as refused:
        said = str(refused)
    assert "\n" not in said
    assert use.step_at is None or all(0.0 <= share <= 1.0 for share in use.step_at)
    assert use.step_mm is None or use.step_mm >= 3.0
    assert use.clock_deg is None or 0.0 <= use.clock_deg < 360.0
    assert use.angle_deg is None or 0.0 < use.angle_deg <= 80.0


def test_what_is_not_said_stays_as_it_was() -> None:
    use = changed_use(LIGHT, {"step": "4.5", "unit": "mm"})
    use = changed_use(use, {"place": [0.25, 0.75]})
    assert use == replace(LIGHT, step_mm=4.5, step_at=(0.25, 0.75))
    assert changed_use(use, {"step": ""}).step_mm is None


@pytest.mark.parametrize(("told", "clock_deg"), [("97.5", 97.5), ("0", 0.0), ("360", 0.0)])
def test_a_clock_position_by_hand_is_kept_and_can_be_taken_back(told, clock_deg) -> None:
    use = changed_use(FACE, {"clock": told})
    assert use.clock_deg == clock_deg
    assert changed_use(use, {"clock": ""}).clock_deg is None
    with pytest.raises(SettingError, match="clock position"):
        changed_use(use, {"clock": "361"})


def test_a_step_in_inches_is_kept_in_millimetres() -> None:
    # 25.4 mm to the inch is exact: the binary fraction alone differs.
    use = changed_use(LIGHT, {"step": "0.1875", "unit": "inch"})
    assert use.step_mm is not None
    assert_allclose(use.step_mm, 4.7625, rtol=1e-12)


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"step": "0.3", "unit": "mm"}, "thin"),
        ({"step": "-4"}, "thickness of the step"),
        ({"angle": "89"}, "angle"),
        ({"kind": "from the moon"}, "kind of the photo"),
        ({"place": [0.5, 1.5]}, "place of the step"),
        ({"sure": "0.001"}, "sure"),
    ],
)
def test_what_cannot_serve_is_refused_while_it_is_entered(
    told: dict[str, object], words: str
) -> None:
    with pytest.raises(BeadcheckError) as refused:
        changed_use(LIGHT, told)
    assert words in str(refused.value)


def test_the_step_or_the_angle_counts_as_chosen() -> None:
    use = replace(LIGHT, step_mm=5.0, angle_deg=45.0, u_angle_deg=5.0)
    photo = stored("line")
    assert light_reference(use, photo) == KnownStep(thickness_mm=5.0)
    by_angle = light_reference(replace(use, reference=Reference.ANGLE), photo)
    # What is entered is expanded, what the library takes is standard.
    assert by_angle == LightAngle(angle_deg=45.0, u_angle_deg=2.5)


@pytest.mark.parametrize("reference", list(Reference))
def test_a_line_of_light_without_its_reference_names_the_photo(reference: Reference) -> None:
    use = replace(LIGHT, reference=reference)
    with pytest.raises(SettingError, match=r"line\.jpg is missing"):
        light_reference(use, stored("line"))


def test_the_tapped_step_is_a_pixel_of_the_upright_photo() -> None:
    place = step_place_px(replace(LIGHT, step_at=(0.5, 0.25)), stored("a"))
    assert place == (1499.5, 999.5)


def test_a_second_view_is_measured_with_the_photo_it_was_joined_to() -> None:
    photos = [stored(key) for key in ("cap", "root", "side", "line")]
    uses = {"side": replace(VIEW, joined_to="root"), "line": LIGHT}
    assert together(page_takes(photos, uses)) == [
        ("face", "cap"),
        ("pair", "root+side"),
        ("light-line", "line"),
    ]


def test_a_second_view_whose_first_is_gone_goes_with_the_first_that_is_left() -> None:
    photos = [stored("side"), stored("cap")]
    uses = {"side": replace(VIEW, joined_to="gone")}
    assert together(page_takes(photos, uses)) == [("pair", "cap+side")]


def test_two_views_without_a_photo_from_above_are_a_pair_and_one_is_refused() -> None:
    photos = [stored("left"), stored("right")]
    uses = {"left": VIEW, "right": VIEW}
    assert together(page_takes(photos, uses)) == [("pair", "left+right")]
    with pytest.raises(SettingError, match=r"left\.jpg is a second view"):
        page_takes(photos[:1], uses)
