"""Takes of every kind: what is refused, what is still measured, and whose problem it is."""

import shutil
from pathlib import Path

import cv2
import pytest

from beadcheck.coupon import Coupon, Shape
from beadcheck.errors import SettingError
from beadcheck.photo import PhotoKind
from beadcheck.pipeline import Request, Take, look_at, measure, measure_each, takes_of
from beadcheck.profiles.light_line.reference import KnownStep, LightAngle
from beadcheck.result import Result, result_to_json

SAMPLES = Path(__file__).parents[2] / "samples"
STRINGER = SAMPLES / "plate-gmaw-stringer.jpg"
PIPE = Coupon(shape=Shape.PIPE, outside_diameter_mm=168.3)
ANGLE = LightAngle(angle_deg=45.0, u_angle_deg=1.0)


def codes(result: Result) -> list[list[str]]:
    return [[problem.code for problem in photo.problems] for photo in result.photos]


@pytest.fixture(scope="module")
def empty(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("photos") / "empty.jpg"
    path.write_bytes(b"")
    return path


@pytest.fixture(scope="module")
def twin(tmp_path_factory) -> Path:
    """Photo from the very same place."""
    path = tmp_path_factory.mktemp("photos") / "twin.jpg"
    shutil.copy(STRINGER, path)
    return path


@pytest.mark.parametrize(
    "wanted",
    [
        lambda: Take(kind=PhotoKind.PAIR, photos=(STRINGER,)),
        lambda: Request(takes=takes_of([STRINGER], PhotoKind.SIDE_ON)),
        lambda: Request(takes=takes_of([STRINGER], PhotoKind.LIGHT_LINE)),
        lambda: Request(
            takes=takes_of([STRINGER], PhotoKind.SIDE_ON), coupon=PIPE, without_target=True
        ),
    ],
    ids=["pair of one", "side-on of a plate", "line without step or angle", "no target"],
)
def test_what_cannot_be_measured_at_all_is_refused_beforehand(wanted) -> None:
    with pytest.raises(SettingError):
        wanted()


def test_a_single_photo_makes_a_take_each_and_a_pair_takes_them_together() -> None:
    photos = [Path("a.jpg"), Path("b.jpg"), Path("c.jpg")]
    faces, pair = takes_of(photos), takes_of(photos, PhotoKind.PAIR)
    assert [take.photos for take in faces] == [(photo,) for photo in photos]
    assert [take.photos for take in pair] == [tuple(photos)]
    request = Request(takes=(*pair, *takes_of([Path("d.jpg")])))
    assert request.photos == (*photos, Path("d.jpg"))


def test_a_step_lies_where_each_photo_was_tapped() -> None:
    first, second = Path("a.jpg"), Path("b.jpg")
    request = Request(
        takes=takes_of([first, second], PhotoKind.LIGHT_LINE),
        step=KnownStep(thickness_mm=5.0),
        step_places_px={second: (1200.5, 840.0)},
    )
    assert [request.light_in(each) for each in (first, second)] == [
        KnownStep(thickness_mm=5.0),
        KnownStep(thickness_mm=5.0, place_px=(1200.5, 840.0)),
    ]


@pytest.mark.parametrize("kind", [PhotoKind.SIDE_ON, PhotoKind.LIGHT_LINE])
def test_a_section_that_cannot_be_read_gives_reasons_for_every_height(kind, empty) -> None:
    request = Request(takes=takes_of([empty], kind), coupon=PIPE, light_angle=ANGLE)
    (measured,) = measure_each(request)
    assert measured.photos[0].photo is None
    result = measured.result
    assert codes(result) == [["photo_empty"]]
    assert not result.photos[0].usable
    assert result.quantities == ()
    assert {n.reason for n in result.not_measured} == {"empty.jpg is empty: 0 bytes."}
    assert "face_reinforcement" in {n.name for n in result.not_measured}
    (advice,) = look_at(empty, request)
    assert advice.code == "photo_empty"
    assert advice.stops


def test_a_pair_from_one_place_is_refused_and_its_face_is_measured_all_the_same(twin) -> None:
    (measured,) = measure_each(Request(takes=takes_of([STRINGER, twin], PhotoKind.PAIR)))
    result = measured.result
    assert measured.height_map is None
    assert [photo.usable for photo in result.photos] == [True, False]
    assert all("pair_same_viewpoint" in each for each in codes(result))
    assert {q.photo for q in result.quantities if q.name == "weld_width"} == {0}
    missing = {n.name: n.photos for n in result.not_measured}
    assert missing["face_reinforcement"] == (0, 1)
    (judged,) = [c for c in result.checks if (c.name, c.statistic) == ("face_reinforcement", "max")]
    assert (judged.finding, judged.photo, judged.photos) == ("not measured", None, (0, 1))


@pytest.mark.parametrize("broken_first", [True, False])
def test_a_broken_photo_spoils_the_pair_and_the_other_says_which(empty, broken_first) -> None:
    photos = [empty, STRINGER] if broken_first else [STRINGER, empty]
    result = measure(Request(takes=takes_of(photos, PhotoKind.PAIR)))
    broken, other = (0, 1) if broken_first else (1, 0)
    assert codes(result)[broken] == ["photo_empty"]
    assert codes(result)[other][0] == "other_photo_of_pair"
    assert "empty.jpg" in result.photos[other].problems[0].message
    # The first photo is measured from above; the second is in the pair for heights alone.
    assert [photo.usable for photo in result.photos] == [not broken_first, False]


def test_takes_of_several_kinds_go_on_after_a_refusal(empty) -> None:
    takes = (*takes_of([empty], PhotoKind.LIGHT_LINE), *takes_of([STRINGER]))
    result = measure(Request(takes=takes, light_angle=ANGLE))
    assert [photo.usable for photo in result.photos] == [False, True]
    assert {q.photo for q in result.quantities} == {1}
    # The refused take's reason stands; that of the face photo would only repeat what it cannot do.
    reasons = {n.reason for n in result.not_measured if n.name == "toe_angle"}
    assert reasons == {"empty.jpg is empty: 0 bytes."}


@pytest.mark.parametrize(("coupon", "words"), [(Coupon(), "a pair"), (PIPE, "a side-on photo")])
def test_a_face_photo_says_which_photo_gives_the_height(coupon, words, empty) -> None:
    result = measure(Request(takes=takes_of([empty]), coupon=coupon))
    (missing,) = [n for n in result.not_measured if n.name == "face_reinforcement"]
    assert words in missing.how_to
    assert "light-line" in missing.how_to


def test_a_clock_position_that_was_entered_stands_with_its_photo(empty, tmp_path):
    other = tmp_path / "other.jpg"
    other.write_bytes(b"")
    request = Request(
        takes=takes_of([other, empty]), coupon=PIPE, without_target=True, clocks_deg={empty: 95.0}
    )
    assert [photo.clock_deg for photo in measure(request).photos] == [None, 95.0]


def test_takes_measured_at_once_give_the_same_to_the_last_bit_in_their_order(empty) -> None:
    ring = [SAMPLES / "pipe-ring" / f"photo-{number}.jpg" for number in (1, 5)]
    coupon = Coupon(shape=Shape.PIPE, outside_diameter_mm=60.3)
    request = Request(takes=takes_of([ring[0], empty, ring[1]]), coupon=coupon)
    threads, told = cv2.getNumThreads(), []
    try:
        for at_once in (1, 2):
            cv2.setNumThreads(at_once)
            told.append([result_to_json(each.result) for each in measure_each(request)])
    finally:
        cv2.setNumThreads(threads)
    assert told[0] == told[1]
