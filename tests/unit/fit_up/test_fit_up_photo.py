"""An open joint with a tack in a drawn photo: from the file to records, words and limits."""

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import cv2
import numpy as np
import pytest

from beadcheck.errors.fit_up import NoOpeningFoundError
from beadcheck.errors.groove import FitUpNeedsTargetError
from beadcheck.limits import Finding
from beadcheck.photo import PhotoKind
from beadcheck.photo_advice import photo_advice
from beadcheck.pipeline import Request, measure, takes_of
from beadcheck.pipeline.fit_up_take import open_joint
from beadcheck.report.fit_up_csv import HEADER, fit_up_csv
from beadcheck.report.fit_up_words import fit_up_lines
from beadcheck.report.photo_lines import photo_lines
from beadcheck.report.picture import annotated_picture
from beadcheck.report.wording import LengthUnit
from beadcheck.result import result_from_json, result_to_json
from beadcheck.target.write import target_toml
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.orders import Outcome
from beadcheck_page.show.results import results
from beadcheck_page.takes import PageTake
from tests.benchmarks.open_joints import coupon_of, drawn, random_joint

SEED = 70004


@pytest.fixture(scope="module")
def scene_and_joint():
    scene, joint = random_joint(SEED)
    return scene, replace(joint, gap_mm=(2.6, 3.0, 3.4), tacks=((62.0, 73.0),))


@pytest.fixture(scope="module")
def photo(scene_and_joint):
    scene, joint = scene_and_joint
    return scene.rendered(np.random.default_rng(3), noise=0.006, light=drawn(scene, joint))


@pytest.fixture(scope="module")
def result(scene_and_joint, photo, tmp_path_factory):
    folder = tmp_path_factory.mktemp("joint")
    scene, joint = scene_and_joint
    cv2.imwrite(str(folder / "joint.png"), photo.pixels_bgr)
    (folder / "five.toml").write_text(target_toml(scene.design))
    coupon = replace(coupon_of(scene, joint), root_gap_range_mm=(1.5, 2.5))
    request = Request(
        takes=takes_of([folder / "joint.png"]), coupon=coupon, target=folder / "five.toml"
    )
    return measure(request)


def test_the_opening_is_as_wide_as_it_was_drawn_and_its_tack_as_long(scene_and_joint, result):
    _, joint = scene_and_joint
    assert result.photos[0].usable
    sure = [each for each in result.openings if each.sure]
    # The joint opens along x: the narrow end is at its left, and so in the photo.
    assert sure[0].opening_mm < sure[-1].opening_mm - 0.4
    found = {q.statistic: q for q in result.quantities if q.name == "root_opening"}
    places = np.array([each.s_mm for each in sure])
    (tack,) = result.tacks
    shift = 0.5 * sum(joint.tacks[0]) - 0.5 * sum(tack.s_range_mm)
    left, right = joint.lands_mm(places + shift)
    true = right - left
    for statistic, value in (("mean", true.mean()), ("min", true.min()), ("max", true.max())):
        quantity = found[statistic]
        assert abs(quantity.value - value) <= quantity.expanded_uncertainty
        assert quantity.expanded_uncertainty < 0.6
    assert abs(tack.length_mm - 11.0) <= tack.length_U_mm
    assert not [s for s in places if tack.s_range_mm[0] <= s <= tack.s_range_mm[1]]


def test_the_opening_is_compared_with_what_the_procedure_asks_for(result):
    findings = {check.statistic: check.finding for check in result.checks}
    assert findings == {"min": Finding.WITHIN, "max": Finding.OUTSIDE}
    assert "as entered" in result.checks[0].source
    missing = {each.name for each in result.not_measured}
    assert missing == {"root_face", "linear_misalignment"}


def test_words_table_and_picture_tell_where(result, photo):
    narrowest, widest, tack = fit_up_lines(result, 0, LengthUnit.MM)
    assert narrowest.startswith("Narrowest root opening 2.")
    assert "mm along the joint" in widest
    assert tack.startswith("Tack of 1")
    header, *rows = fit_up_csv(result).splitlines()
    assert header == ",".join(HEADER)
    assert len(rows) == len(result.openings) + 1
    assert rows[-1].split(",")[2] == "tack"
    picture = annotated_picture(photo, result, unit=LengthUnit.MM)
    # Yellow bars at the tack's ends are drawn nowhere else.
    yellow = (np.abs(picture.astype(int) - (66, 228, 240)) < 12).all(axis=2)
    assert yellow.sum() > 200
    assert result_from_json(result_to_json(result)) == result


def test_the_page_tells_the_same_under_the_photo(result):
    path = Path("joint.png")
    photo = StoredPhoto(
        key="p", name="joint.png", path=path, preview=path, thumbnail=path, width_px=9, height_px=9
    )
    outcome = Outcome(
        key="k",
        measured_at=datetime(2026, 5, 17, 9, 5, tzinfo=UTC),
        result=result,
        takes=(PageTake(kind=PhotoKind.FACE, photos=(photo,)),),
        files={},
        downloads=(("all.zip", "All files in one"),),
    )
    _, _, told = results(outcome, LengthUnit.MM).partition("<figcaption>")
    caption, _, _ = told.partition("</figcaption>")
    lines = photo_lines(result, 0, LengthUnit.MM)
    assert len(lines) == 3
    assert all(f"<li>{line}</li>" in caption for line in lines)


def test_a_quick_look_at_a_joint_asks_for_no_weld(scene_and_joint, photo):
    scene, joint = scene_and_joint
    coupon = coupon_of(scene, joint)
    missed, found = (
        {each.code for each in photo_advice(photo, [scene.design], replace(coupon, **changed))}
        for changed in ({"weld_pass": None}, {})
    )
    assert "no_weld_found" in missed
    assert "no_weld_found" not in found


def test_where_there_is_no_joint_none_is_told(scene_and_joint):
    scene, joint = scene_and_joint
    bare = scene.rendered(np.random.default_rng(4), noise=0.006)
    request = Request(takes=(), coupon=coupon_of(scene, joint))
    found = open_joint(bare, request, (scene.design,))
    assert isinstance(found.refusal, NoOpeningFoundError)
    with pytest.raises(FitUpNeedsTargetError):
        replace(request, without_target=True)
