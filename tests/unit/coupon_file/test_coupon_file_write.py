"""What is written is read back the same, by our reader and by Python's."""

import tomllib
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from beadcheck.advice import CurrentRange, StatedBy
from beadcheck.coupon import (
    IN_THE_GROOVE,
    MOST_LAYERS,
    Groove,
    GrooveForm,
    Polarity,
    Position,
    Process,
    Progression,
    Shape,
    StripSide,
    TimesAre,
    TorchMotion,
    WeldPass,
)
from beadcheck.coupon_file import (
    CouponFile,
    JointPart,
    NumberSaid,
    PassPart,
    PassSettings,
    PhotoPart,
    coupon_toml,
    read_coupon_file,
    write_coupon_file,
)
from beadcheck.errors.setting import FileNotWritableError
from beadcheck.limits import DecisionRule, LengthSystem
from beadcheck.photo import PhotoKind

from .conftest import PHOTOS

WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=20
).filter(str.isprintable)


def maybe(strategy):
    return st.none() | strategy


def numbers(lowest: float, highest: float):
    return st.builds(
        NumberSaid,
        value=st.floats(lowest, highest),
        expanded_uncertainty=maybe(st.floats(0.01, 0.2)),
    )


STEPS = st.builds(
    NumberSaid, value=st.floats(3.0, 10.0), expanded_uncertainty=maybe(st.floats(0.01, 0.5))
)
POINTS = st.tuples(st.floats(0.0, 4000.0), st.floats(0.0, 3000.0))
ARCS = st.one_of(
    st.just({}),
    st.fixed_dictionaries({"current_a": numbers(1, 1000), "volts": maybe(numbers(1, 100))}),
    st.fixed_dictionaries({"power_w": numbers(1, 1e5)}),
    st.fixed_dictionaries({"energy_kj": numbers(1, 1e4), "run_length_mm": numbers(1, 1e4)}),
)
PULSED_ARCS = st.one_of(
    st.just({}),
    st.fixed_dictionaries(
        {
            "peak_current_a": numbers(100, 1000),
            "background_percent": numbers(1, 99),
            "volts": maybe(numbers(1, 100)),
            "motion": st.sampled_from(TorchMotion),
        }
    ),
    st.fixed_dictionaries(
        {
            "peak_current_a": numbers(100, 1000),
            "background_current_a": numbers(1, 99),
            "peak_volts": numbers(1, 100),
            "background_volts": numbers(1, 100),
            "peak_time": st.floats(0.01, 59.0),
            "background_time": st.floats(0.01, 59.0),
            "times_are": maybe(st.sampled_from(TimesAre)),
            "overlap_percent": maybe(st.floats(0.0, 99.0)),
        }
    ),
)
RANGES = maybe(
    st.builds(
        CurrentRange,
        lowest_a=st.floats(1.0, 100.0),
        highest_a=st.floats(100.0, 500.0),
        stated_by=st.sampled_from(StatedBy),
    )
)


@st.composite
def photos(draw, names):
    # Four photos in all, and six names: the last two stay for those that are alone.
    kind = draw(
        st.sampled_from([k for k in PhotoKind if k is not PhotoKind.PAIR or len(names) > 3])
    )
    count = 2 if kind is PhotoKind.PAIR else 1
    said = {"files": tuple(names.pop() for _ in range(count)), "kind": kind}
    if kind is PhotoKind.LIGHT_LINE and draw(st.booleans()):
        said["light_angle"] = draw(numbers(0, 80))
    elif kind is PhotoKind.LIGHT_LINE or (kind is PhotoKind.PAIR and draw(st.booleans())):
        said["step"] = draw(STEPS)
        said["step_at_px"] = draw(maybe(POINTS))
    elif kind is PhotoKind.FACE:
        said["along_px"] = draw(maybe(st.tuples(POINTS, POINTS).filter(lambda p: p[0] != p[1])))
        said["toes"] = draw(maybe(st.just("toes.csv")))
        said["without_target"] = draw(st.booleans())
        said["clock_deg"] = draw(maybe(st.floats(0.0, 360.0)))
    return PhotoPart(**said)


@st.composite
def passes(draw, names):
    process = draw(maybe(st.sampled_from(Process)))
    weld_pass = draw(maybe(st.sampled_from(WeldPass)))
    counts = st.none() if weld_pass is WeldPass.FIT_UP else maybe(st.integers(1, MOST_LAYERS))
    arc = draw(PULSED_ARCS if process is Process.GTAW_PULSED else ARCS)
    return PassPart(
        name=draw(WORDS),
        weld_pass=weld_pass,
        depth=draw(maybe(numbers(0, 30))) if weld_pass in IN_THE_GROOVE else None,
        layer=draw(counts),
        bead=draw(counts),
        beads=draw(counts),
        process=process,
        polarity=draw(maybe(st.sampled_from(Polarity))),
        filler=draw(maybe(WORDS)),
        settings=PassSettings(**arc, current_range=draw(RANGES)),
        signed=draw(maybe(WORDS)),
        photos=tuple(draw(photos(names)) for _ in range(draw(st.integers(0, 2)))),
    )


@st.composite
def coupons(draw):
    names = list(PHOTOS)
    size = draw(
        st.sampled_from(
            [
                {},
                {"shape": Shape.PLATE},
                {"pipe_size": "NPS 8 SCH 60"},
                {"shape": Shape.PIPE, "outside_diameter_mm": 60.3},
            ]
        )
    )
    parts = [draw(passes(names)) for _ in range(draw(st.integers(1, 2)))]
    return CouponFile(
        name=draw(WORDS),
        person=draw(maybe(WORDS)),
        sectors=draw(maybe(st.integers(2, 72))),
        joint=JointPart(
            **size,
            wall_mm=draw(maybe(st.floats(0.1, 200.0))),
            bore_mm=draw(maybe(st.floats(5.0, 2500.0))),
            position=draw(maybe(st.sampled_from(Position))),
            progression=draw(maybe(st.sampled_from(Progression))),
            strip_side=draw(maybe(st.sampled_from(StripSide))),
            groove=draw(
                maybe(
                    st.builds(
                        Groove,
                        form=st.sampled_from(GrooveForm),
                        angle_deg=maybe(st.floats(0.0, 180.0)),
                        root_gap_mm=maybe(st.floats(0.0, 50.0)),
                        root_face_mm=maybe(st.floats(0.0, 50.0)),
                    )
                )
            ),
        ),
        limits=draw(maybe(st.sampled_from(["pipe-coupon", "iso-5817-c", "shop.toml"]))),
        guard=draw(maybe(st.sampled_from(DecisionRule))),
        units=draw(maybe(st.sampled_from(LengthSystem))),
        target=draw(maybe(st.just("card.toml"))),
        print_scale_mm=draw(maybe(st.floats(1.0, 1000.0))),
        use_camera=draw(st.booleans()),
        passes=tuple(
            replace(part, name=f"{part.name} {k}") for k, part in enumerate(parts, start=1)
        ),
    )


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    max_examples=60,
    deadline=None,
)
@given(coupon=coupons())
def test_a_coupon_comes_back_as_it_was_written(folder, coupon):
    for name in ("toes.csv", "shop.toml", "card.toml"):
        (folder / name).write_text("never read", "utf-8")
    path = folder / "coupon.toml"
    write_coupon_file(coupon, path)
    assert read_coupon_file(path) == coupon
    # The grammar is checked against Python's own reader too, which shares no code with the writer.
    assert tomllib.loads(coupon_toml(coupon))["coupon"] == coupon.name


def test_a_coupon_that_cannot_be_written_leaves_nothing(tmp_path):
    with pytest.raises(FileNotWritableError):
        write_coupon_file(CouponFile(name="P8"), tmp_path / "nowhere" / "coupon.toml")
    assert list(tmp_path.iterdir()) == []
