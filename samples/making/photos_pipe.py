"""Sample photos of pipe."""

from pathlib import Path

from samples.making.bead import BeadStyle
from samples.making.card import Lie, read_sheets
from samples.making.develop import Development
from samples.making.heat import Skin
from samples.making.photo_setup import MIDDLE, hold
from samples.making.recipe import Laid, Metal, Passes, Scene


def pipe_gtaw_pulsed(targets: Path) -> Scene:
    """Pulsed GTAW cap round NPS 6."""
    style = BeadStyle(
        process="gtaw-pulsed",
        width_mm=7.2,
        crown_mm=1.1,
        pitch_mm=1.5,
        pitch_jitter=0.06,
        ripple_mm=0.12,
        arc=0.9,
        crest_phase=0.36,
        roundness=0.55,
        scallop=0.03,
        wander_mm=0.15,
        waviness_mm=0.1,
        unrest=0.08,
        lump_mm=0.1,
        crater_mm=0.3,
    )
    (strip,) = read_sheets(targets / "pipe-strip-nps-6.toml")
    laid = (Laid(sheet=strip, lie=Lie(s_mm=205.0, t_mm=-17.0, angle_deg=0.0, ink_mm=0.02)),)
    return Scene(
        name="pipe-gtaw-pulsed",
        seed=7004,
        process="gtaw-pulsed",
        tags=("pipe", "gtaw-pulsed", "pipe strip"),
        description="Gull's pulsed cap on NPS 6 stainless, strip below the weld, grey daylight",
        metal=Metal(
            span_mm=(-264.3, 264.3, -75.0, 70.0),
            thickness_mm=7.1,
            base="brushed",
            stainless=True,
            outside_diameter_mm=168.3,
            scratches=20,
            writing=(("Gull 6G", -30.0, 32.0, 2.0, False),),
        ),
        view=hold(MIDDLE, 35.0, (4.0, -6.0), 190.0, (6.0, 280.0), 4.0),
        skin=Skin(colour=(0.60, 0.575, 0.55), rough=0.22, tint_nm=88.0, tint_mm=5.0, bead_nm=34.0),
        lighting="overcast",
        table="blanket",
        development=Development(blur_px=0.9, exposure=0.28, noise=5e-4, quality=88),
        passes=Passes(
            style=style, start_mm=-200.0, end_mm=200.0, direction=1, fillet_mm=0.07, rough_mm=0.008
        ),
        laid=laid,
    )


def pipe_smaw_weave(targets: Path) -> Scene:
    """Woven SMAW cap round NPS 8."""
    style = BeadStyle(
        process="smaw",
        width_mm=13.5,
        crown_mm=1.9,
        pitch_mm=1.8,
        pitch_jitter=0.15,
        ripple_mm=0.19,
        arc=0.6,
        crest_phase=0.42,
        roundness=0.7,
        scallop=0.02,
        wander_mm=0.3,
        waviness_mm=0.25,
        unrest=0.2,
        toe_power=2.7,
        weave_mm=0.2,
        weave_pitch_mm=3.8,
        lump_mm=0.3,
        crater_mm=0.6,
    )
    (strip,) = read_sheets(targets / "pipe-strip-nps-8.toml")
    laid = (Laid(sheet=strip, lie=Lie(s_mm=-120.0, t_mm=20.5, angle_deg=180.0, ink_mm=0.03)),)
    return Scene(
        name="pipe-smaw-weave",
        seed=7005,
        process="smaw",
        tags=("pipe", "smaw", "weave", "pipe strip"),
        description="Pike's woven cap on NPS 8 carbon steel, strip above the weld, phone upright",
        metal=Metal(
            span_mm=(-344.1, 344.1, -95.0, 90.0),
            thickness_mm=8.2,
            base="mill_scale",
            band_mm=21.0,
            outside_diameter_mm=219.1,
            scratches=20,
            spatter=260,
            writing=(("Pike 5G", -46.0, -60.0, -3.0, True),),
        ),
        view=hold((2448, 3264), 35.0, (-3.0, 7.0), 200.0, (8.0, 100.0), 84.0),
        skin=Skin(
            colour=(0.42, 0.405, 0.39),
            rough=0.33,
            tint_nm=55.0,
            tint_mm=5.0,
            bead_nm=12.0,
            soot=0.2,
            slag=0.3,
        ),
        lighting="tubes",
        table="concrete",
        development=Development(
            blur_px=0.9, exposure=0.26, noise=7e-4, warmth=-0.02, quality=87, turned=True
        ),
        passes=Passes(
            style=style, start_mm=-250.0, end_mm=250.0, direction=-1, fillet_mm=0.1, rough_mm=0.035
        ),
        laid=laid,
    )
