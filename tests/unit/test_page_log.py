"""What the page keeps in the log: once, under the names that were said, whatever was sent."""

import os
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadcheck.coupon import WeldPass
from beadcheck.errors import LogError
from beadcheck.log import (
    Corrected,
    NewPerson,
    Selection,
    add_people,
    log_address,
    measurement_of,
    measurements,
    open_log,
)
from beadcheck.photo import PhotoKind
from beadcheck.report.wording import LengthUnit
from beadcheck.result import CouponRecord, PhotoRecord, QuantityRecord, Result
from beadcheck.toes import HandToes
from beadcheck_page import show
from beadcheck_page.entries import Entries
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.logbook import Naming, kept_in_log, names_in_log, naming
from beadcheck_page.orders import Order, Outcome, Phase, Progress
from beadcheck_page.refusals import (
    NobodyWeldedItError,
    NothingToKeepError,
    PhotoTakenOutError,
    TwoWeldersError,
)
from beadcheck_page.roles import Role
from beadcheck_page.takes import PageTake
from beadcheck_page.understanding import understood
from beadcheck_page.visits import Visit

MEASURED_AT = datetime(2026, 5, 17, 9, 5, 31, tzinfo=UTC)
TERN = Naming(person="Tern", coupon="P8-17")
SENT = st.none() | st.booleans() | st.floats() | st.lists(st.text(max_size=3)) | st.text()


@pytest.fixture(autouse=True)
def log_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "log.sqlite3"
    monkeypatch.setenv("BEADCHECK_LOG", str(path))
    return path


@pytest.fixture
def visit(tmp_path: Path) -> Visit:
    """A visit with one photo, measured from above."""
    path = tmp_path / "cap.png"
    _, coded = cv2.imencode(".png", np.full((60, 90, 3), 130, dtype=np.uint8))
    path.write_bytes(coded.tobytes())
    photo = StoredPhoto(
        key="k3y",
        name="cap.jpg",
        path=path,
        preview=path,
        thumbnail=path,
        width_px=90,
        height_px=60,
    )
    order = Order(
        takes=(PageTake(kind=PhotoKind.FACE, photos=(photo,)),),
        settings=understood(Entries(), limit_names=()),
    )
    return measured(order, result())


def result(**said: Any) -> Result:
    record = PhotoRecord(
        file="cap.jpg",
        kind="face",
        usable=True,
        px_per_mm=20.0,
        tilt_deg=7.0,
        distance_mm=210.0,
        problems=(),
    )
    coupon = CouponRecord(
        shape="plate",
        outside_diameter_mm=None,
        wall_thickness_mm=None,
        weld_pass=WeldPass.CAP.value,
    )
    return Result(**{"coupon": coupon, "photos": (record,), **said})


def measured(order: Order, found: Result) -> Visit:
    outcome = Outcome(
        key="o",
        measured_at=MEASURED_AT,
        result=found,
        takes=order.takes,
        files={},
        downloads=(),
    )
    return Visit(
        photos=order.photos,
        uses={},
        receiving=False,
        progress=Progress(key="o", phase=Phase.DONE, total=1, outcome=outcome),
        order=order,
        entries=Entries(),
        answered_times=None,
        kept=None,
    )


def logged(path: Path) -> list[tuple[int, str, str, str]]:
    with open_log(log_address({}, str(path))) as log:
        rows = measurements(log, Selection())
    return sorted((row.number, row.person, row.coupon, row.run) for row in rows)


def test_the_same_result_is_kept_once_under_the_same_names(visit: Visit, log_file: Path) -> None:
    kept = kept_in_log(visit, TERN)
    again = replace(visit, kept=kept)
    for said in (TERN, Naming(person="TERN", coupon=None), Naming(person=None, coupon=None)):
        assert kept_in_log(again, said) is kept
    assert logged(log_file) == [(1, "Tern", "P8-17", "cap")]


def test_a_coupon_that_nobody_named_is_named_by_day_and_time(visit: Visit) -> None:
    assert kept_in_log(visit, replace(TERN, coupon=None)).coupon == "2026-05-17 09:05:31"


def test_a_corrected_result_is_kept_beside_the_first_and_says_what_it_corrects(
    visit: Visit, log_file: Path
) -> None:
    kept = kept_in_log(visit, TERN)
    assert visit.order is not None
    toes = HandToes(left_px=np.array([[9.0, 20.0], [70.0, 22.0]]), right_px=np.empty((0, 2)))
    corrected = measured(replace(visit.order, hand={"k3y": toes}), result(made_with="by hand"))
    then = kept_in_log(replace(corrected, kept=kept), Naming(person="Tern", coupon=None))
    assert (then.number, then.in_place_of) == (2, 1)
    assert logged(log_file) == [(1, "Tern", "P8-17", "cap"), (2, "Tern", "P8-17", "cap")]
    with open_log(log_address({}, str(log_file))) as log:
        (correction,) = measurement_of(log, 2).corrections
    assert (correction.what, correction.by, correction.corrects) == (Corrected.TOES, "Tern", 1)


def test_another_photo_corrects_nothing(visit: Visit, log_file: Path) -> None:
    kept = replace(kept_in_log(visit, TERN), photos=frozenset({"other"}), result=result(limits="x"))
    then = kept_in_log(replace(visit, kept=kept), TERN)
    assert (then.number, then.in_place_of) == (2, None)
    assert len(logged(log_file)) == 2


def test_nothing_is_kept_without_a_result_a_name_or_the_photo(visit: Visit, log_file: Path) -> None:
    with pytest.raises(NobodyWeldedItError):
        kept_in_log(visit, Naming(person=None, coupon="P8-17"))
    with pytest.raises(NothingToKeepError):
        kept_in_log(replace(visit, progress=None), TERN)
    visit.photos[0].path.unlink()
    with pytest.raises(PhotoTakenOutError, match=r"cap\.jpg"):
        kept_in_log(visit, TERN)
    assert not log_file.exists()
    assert names_in_log() == ()


def test_a_name_that_the_log_refuses_adds_nothing(visit: Visit, log_file: Path) -> None:
    with pytest.raises(LogError, match="x"):
        kept_in_log(visit, Naming(person="x" * 300, coupon=None))
    assert logged(log_file) == []


@given(chosen=SENT, written=SENT, coupon=SENT)
def test_whatever_is_sent_as_names_gives_names_or_one_sentence(
    chosen: object, written: object, coupon: object
) -> None:
    try:
        said = naming(chosen, written, coupon)
    except TwoWeldersError:
        return
    assert said.person is None or said.person.strip()
    assert said.coupon is None or said.coupon.strip()


def test_who_it_is_is_told_as_it_was_said_unless_the_class_may_be_seen(visit: Visit) -> None:
    kept = replace(kept_in_log(visit, TERN), said="0071")
    assert "0071, P8-17" in show.kept(kept, again=False, who=kept.said)
    assert "Tern" not in show.kept(kept, again=False, who=kept.said)


def test_where_the_log_is_stands_at_its_own_computer_alone() -> None:
    for role in Role:
        told = show.keep_help("/home/shop/log.sqlite3", role)
        assert ("/home/shop" in told) == (role is Role.HERE)


def spread(value_mm: float) -> Result:
    record = QuantityRecord(
        name="weld_width",
        statistic="sd",
        value=value_mm,
        unit="mm",
        expanded_uncertainty=0.06,
        coverage_factor=2.0,
        count=60,
        scope="photo",
        photo=0,
        side=None,
        s_range_mm=(4.0, 64.0),
    )
    return result(quantities=(record,))


def test_what_changed_since_the_last_run_is_told_where_a_result_is_kept(visit: Visit) -> None:
    assert visit.order is not None
    first = kept_in_log(measured(visit.order, spread(0.9)), TERN)
    assert first.since is None
    assert "Since" not in show.kept(first, again=False, who="Tern")
    second = kept_in_log(measured(visit.order, spread(0.5)), replace(TERN, coupon="P8-18"))
    told = show.kept(second, again=False, who="Tern")
    assert "Since Tern&#x27;s last cap (P8-17, cap, 2026-05-17):</p>" in told
    assert "spread (sd) fell from 0.90 mm to 0.50 mm, more than repeat measurement" in told
    assert "(0.035 in)" in show.kept(second, again=False, who="Tern", unit=LengthUnit.INCH)
    # Who was named by a number stays a number: whose it is takes more than the class code.
    open_to_all = replace(TERN, person="0071", coupon="P8-19")
    with open_log(log_address({"BEADCHECK_LOG": os.environ["BEADCHECK_LOG"]})) as log:
        add_people(log, [NewPerson(name="Moth", number="0071")], at=MEASURED_AT)
    kept_in_log(measured(visit.order, spread(0.9)), replace(open_to_all, coupon="P8-20"))
    third = kept_in_log(measured(visit.order, spread(0.4)), open_to_all)
    told = show.kept(third, again=False, who=third.said)
    assert "Since 0071&#x27;s last cap" in told
    assert "Moth" not in told
