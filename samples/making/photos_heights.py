"""Sample photos for heights: a pipe in all three ways; a plate by two light lines and a pair."""

from dataclasses import replace
from pathlib import Path

from samples.making.bead import BeadStyle
from samples.making.card import Lie, read_sheets
from samples.making.develop import Development
from samples.making.heat import Skin
from samples.making.photo_setup import MIDDLE, MODEST, hold, two_strips
from samples.making.recipe import Block, Laid, Light, Metal, Passes, Scene
from samples.making.weld import Undercut

KEY_STEEL_MM = 5.0
S_LIMB_MM = -28.0
"""Where round the pipe its heights are taken, as an arc from the top."""


def pipe_height_scenes(targets: Path) -> list[Scene]:
    """Pike's second coupon: on its outline, under a laser's line, and the same place as a pair."""
    coupon = _pipe(targets)
    # The sheet leans to larger s: on the crown it stands where the outline was.
    laser = Light(
        kind="laser",
        s_mm=S_LIMB_MM - 2.2,
        t_mm=6.0,
        azimuth_deg=3.0,
        angle_deg=46.0,
        reach_mm=170.0,
        sigma_mm=0.13,
        power=9.0,
        fan_deg=32.0,
        speckle=0.35,
    )
    step = Block(
        s_mm=S_LIMB_MM + 3.4,
        t_mm=18.5,
        length_mm=10.0,
        width_mm=15.0,
        thickness_mm=KEY_STEEL_MM,
        angle_deg=1.0,
    )
    by_day = replace(coupon, lighting="overcast", blocks=(step,))
    return [
        replace(
            coupon,
            name="pipe-smaw-side-on",
            kind="side-on",
            tags=(*coupon.tags, "side-on"),
            description="Pike's stick cap on NPS 8 along the tangent, bright wall, slight undercut",
            view=replace(
                hold(MIDDLE, 35.0, (S_LIMB_MM, 1.0), 205.0, (90.0, 181.3), 182.5),
                roll_of="t",
                turned_deg=(1.5, -7.0),
                lens_mm=0.5,
            ),
            backdrop="wall",
        ),
        replace(
            by_day,
            name="pipe-smaw-light-line",
            kind="light-line",
            shot=1,
            tags=(*coupon.tags, "light-line", "laser", "step"),
            description="The cap where its outline was, under a laser's line that climbs a key",
            view=hold(MODEST, 35.0, (S_LIMB_MM - 2.0, 2.0), 158.0, (6.0, 170.0), 4.0),
            light=laser,
        ),
        replace(
            by_day,
            name="pipe-smaw-pair-a",
            kind="pair",
            shot=2,
            tags=(*coupon.tags, "pair", "step"),
            description="The same place from above, leaning towards its start",
            view=hold(MODEST, 35.0, (S_LIMB_MM + 1.0, 1.0), 166.0, (7.5, 184.0), -3.0),
        ),
        replace(
            by_day,
            name="pipe-smaw-pair-b",
            kind="pair",
            shot=3,
            tags=(*coupon.tags, "pair", "step"),
            description="The same place, leaning towards its end",
            view=hold(MODEST, 35.0, (S_LIMB_MM - 1.0, 2.0), 172.0, (7.6, 357.0), 2.0),
        ),
    ]


def _pipe(targets: Path) -> Scene:
    """SMAW cap round NPS 8, with an undercut where its heights are taken."""
    style = BeadStyle(
        process="smaw",
        width_mm=12.0,
        crown_mm=2.1,
        pitch_mm=1.7,
        pitch_jitter=0.15,
        ripple_mm=0.16,
        arc=0.7,
        crest_phase=0.42,
        roundness=0.75,
        scallop=0.02,
        wander_mm=0.25,
        waviness_mm=0.2,
        unrest=0.2,
        toe_power=2.5,
        lump_mm=0.3,
        crater_mm=0.6,
    )
    (strip,) = read_sheets(targets / "pipe-strip-nps-8.toml")
    return Scene(
        name="pipe-smaw",
        seed=7010,
        coupon="pipe-smaw",
        process="smaw",
        tags=("pipe", "smaw", "pipe strip", "undercut"),
        description="Pike's stick cap on NPS 8",
        metal=Metal(
            span_mm=(-344.1, 344.1, -80.0, 85.0),
            thickness_mm=8.2,
            base="mill_scale",
            band_mm=20.0,
            outside_diameter_mm=219.1,
            scratches=20,
            spatter=60,
        ),
        view=hold(MODEST, 35.0, (S_LIMB_MM, 0.0), 160.0, (0.0, 0.0), 0.0),
        skin=Skin(
            colour=(0.42, 0.405, 0.39),
            rough=0.36,
            tint_nm=55.0,
            tint_mm=5.0,
            bead_nm=12.0,
            soot=0.2,
            slag=0.25,
        ),
        lighting="window",
        table="concrete",
        development=Development(blur_px=0.9, exposure=0.27, noise=6e-4, quality=86),
        passes=Passes(
            style=style,
            start_mm=-250.0,
            end_mm=250.0,
            direction=1,
            fillet_mm=0.1,
            rough_mm=0.03,
            undercuts=(
                Undercut(
                    side="hi",
                    start_mm=S_LIMB_MM - 24,
                    end_mm=S_LIMB_MM + 30,
                    depth_mm=0.5,
                    width_mm=1.3,
                ),
            ),
        ),
        laid=(Laid(sheet=strip, lie=Lie(s_mm=160.0, t_mm=-18.5, angle_deg=0.0, ink_mm=0.02)),),
    )


def plate_height_scenes(targets: Path) -> list[Scene]:
    """Moth's second coupon: a laser's line, a rule's shadow, and the same place from two sides."""
    coupon = _plate(targets)
    laser = Light(
        kind="laser",
        s_mm=-14.0,
        t_mm=-4.0,
        azimuth_deg=4.0,
        angle_deg=47.0,
        reach_mm=180.0,
        sigma_mm=0.14,
        power=9.0,
        fan_deg=32.0,
        speckle=0.35,
    )
    shadow = replace(
        laser, kind="shadow", s_mm=29.0, azimuth_deg=-3.0, angle_deg=-44.0, reach_mm=330.0,
        power=5.0, edge_mm=8.5, lamp_mm=1.2,
    )  # fmt: skip
    far, near = 205.0, 198.0
    return [
        replace(
            coupon,
            name="plate-gmaw-light-line",
            kind="light-line",
            tags=(*coupon.tags, "light-line", "laser"),
            description="Moth's stringer crossed by a laser's line that climbs a key steel",
            view=hold(MIDDLE, 35.0, (-8.0, -1.0), 196.0, (7.0, 110.0), 5.0),
            light=laser,
            blocks=(_step(s_mm=-8.0),),
        ),
        replace(
            coupon,
            name="plate-gmaw-light-line-2",
            kind="light-line",
            shot=1,
            tags=(*coupon.tags, "light-line", "shadow"),
            description="The same stringer under the shadow edge of a steel rule, the key moved",
            view=hold(MIDDLE, 35.0, (16.0, 0.0), 202.0, (14.0, 8.0), -7.0),
            light=shadow,
            blocks=(_step(s_mm=24.0),),
        ),
        replace(
            coupon,
            name="plate-gmaw-pair-a",
            kind="pair",
            shot=2,
            tags=(*coupon.tags, "pair"),
            description="The same stringer from above, leaning towards its start",
            view=hold(MIDDLE, 35.0, (0.0, 0.0), far, (8.0, 195.0), 3.0),
            blocks=(_step(s_mm=6.0),),
        ),
        replace(
            coupon,
            name="plate-gmaw-pair-b",
            kind="pair",
            shot=3,
            tags=(*coupon.tags, "pair"),
            description="The same place, leaning towards its end",
            view=hold(MIDDLE, 35.0, (1.5, -1.0), near, (8.5, 352.0), 1.0),
            blocks=(_step(s_mm=6.0),),
        ),
    ]


def _step(*, s_mm: float) -> Block:
    return Block(
        s_mm=s_mm,
        t_mm=-13.0,
        length_mm=24.0,
        width_mm=9.0,
        thickness_mm=KEY_STEEL_MM,
        angle_deg=3.0,
    )


def _plate(targets: Path) -> Scene:
    style = BeadStyle(
        process="gmaw",
        width_mm=9.4,
        crown_mm=2.0,
        pitch_mm=1.3,
        pitch_jitter=0.09,
        ripple_mm=0.09,
        arc=1.0,
        crest_phase=0.45,
        roundness=0.85,
        scallop=0.02,
        wander_mm=0.25,
        waviness_mm=0.2,
        unrest=0.12,
        lump_mm=0.4,
        crater_mm=0.8,
    )
    laid = two_strips(
        targets, clear_mm=(10.5, 21.0), s_mm=(-1.0, 1.0), angles=(0.6, -0.9), ink_mm=0.02
    )
    return Scene(
        name="plate-gmaw",
        seed=7011,
        coupon="plate-gmaw",
        process="gmaw",
        tags=("plate", "gmaw", "two strips", "step"),
        description="Moth's second stringer on a ground band, two strips",
        metal=Metal(
            span_mm=(-82.0, 80.0, -58.0, 50.0),
            thickness_mm=10.0,
            base="ground_all",
            scratches=18,
            spatter=12,
            writing=(("Moth 3", -74.0, 36.0, 2.0, True),),
        ),
        view=hold(MIDDLE, 35.0, (0.0, 0.0), 200.0, (0.0, 0.0), 0.0),
        skin=Skin(
            colour=(0.45, 0.435, 0.415),
            rough=0.42,
            tint_nm=55.0,
            tint_mm=4.5,
            bead_nm=12.0,
            soot=0.25,
            silica=0.15,
        ),
        lighting="overcast",
        table="cardboard",
        development=Development(blur_px=0.85, exposure=0.25, noise=5e-4, quality=86),
        passes=Passes(
            style=style, start_mm=-58.0, end_mm=56.0, direction=1, fillet_mm=0.1, rough_mm=0.02
        ),
        laid=laid,
        viewer_azimuth=4.5,
    )
