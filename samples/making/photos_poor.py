"""Sample photos of plate that lack something: light, a target, a weld."""

from pathlib import Path

from samples.making.bead import BeadStyle
from samples.making.card import Lie, read_sheets
from samples.making.develop import Development
from samples.making.heat import Skin
from samples.making.photo_setup import SMALL, hold, two_strips
from samples.making.recipe import Laid, Metal, Passes, Scene


def plate_dim_shop(targets: Path) -> Scene:
    """A hurried photo in bad light."""
    style = BeadStyle(
        process="gmaw",
        width_mm=7.4,
        crown_mm=1.8,
        pitch_mm=1.35,
        pitch_jitter=0.12,
        ripple_mm=0.09,
        arc=1.0,
        crest_phase=0.45,
        roundness=0.9,
        scallop=0.02,
        wander_mm=0.45,
        waviness_mm=0.25,
        unrest=0.15,
        lump_mm=0.6,
        crater_mm=1.0,
    )
    laid = two_strips(
        targets, clear_mm=(8.0, 9.0), s_mm=(3.0, -2.0), angles=(-1.6, 0.9), ink_mm=0.05
    )
    return Scene(
        name="plate-gmaw-dim-shop",
        seed=7006,
        process="gmaw",
        tags=("plate", "gmaw", "two strips", "poor photo"),
        description="A hurried photo at the end of a shift: dim, oblique, grainy, a little shaken",
        metal=Metal(
            span_mm=(-78.0, 80.0, -48.0, 50.0),
            thickness_mm=8.0,
            base="mill_scale",
            band_mm=14.0,
            band_brushed=True,
            scratches=40,
            rust=0.2,
            spatter=45,
        ),
        view=hold(SMALL, 26.0, (2.0, 0.0), 152.0, (21.0, 300.0), 17.0, (0.05, 0.0)),
        skin=Skin(
            colour=(0.44, 0.425, 0.405),
            rough=0.36,
            tint_nm=60.0,
            tint_mm=4.5,
            bead_nm=18.0,
            soot=0.4,
            silica=0.4,
        ),
        lighting="dim",
        table="paint",
        development=Development(
            blur_px=1.3,
            motion_px=1.6,
            motion_deg=25.0,
            exposure=0.15,
            noise=5e-3,
            warmth=0.08,
            contrast=0.2,
            sharpening=0.4,
            vignette=0.3,
            quality=78,
        ),
        passes=Passes(
            style=style, start_mm=-58.0, end_mm=57.0, direction=1, fillet_mm=0.12, rough_mm=0.025
        ),
        laid=laid,
    )


def plate_no_target() -> Scene:
    """A weld without a target."""
    style = BeadStyle(
        process="smaw",
        width_mm=9.4,
        crown_mm=2.0,
        pitch_mm=1.6,
        pitch_jitter=0.15,
        ripple_mm=0.17,
        arc=1.05,
        crest_phase=0.42,
        roundness=0.7,
        scallop=0.03,
        wander_mm=0.25,
        waviness_mm=0.2,
        unrest=0.18,
        lump_mm=0.5,
        crater_mm=1.0,
    )
    return Scene(
        name="plate-smaw-no-target",
        seed=7007,
        process="smaw",
        tags=("plate", "smaw", "no target"),
        description="Brisk forgot the card: a stick bead on blasted plate, grey daylight",
        metal=Metal(
            span_mm=(-85.0, 80.0, -50.0, 52.0),
            thickness_mm=9.0,
            base="blasted",
            scratches=12,
            spatter=55,
            writing=(("B-12", -70.0, 34.0, 5.0, True),),
        ),
        view=hold(SMALL, 35.0, (0.0, 1.0), 185.0, (10.0, 210.0), -14.0),
        skin=Skin(
            colour=(0.40, 0.385, 0.37),
            rough=0.33,
            tint_nm=60.0,
            tint_mm=5.0,
            bead_nm=15.0,
            soot=0.25,
            slag=0.3,
        ),
        lighting="overcast",
        table="cardboard",
        development=Development(blur_px=0.8, exposure=0.27, noise=8e-4, quality=88),
        passes=Passes(
            style=style, start_mm=-60.0, end_mm=58.0, direction=1, fillet_mm=0.1, rough_mm=0.035
        ),
        rods=1,
    )


def plate_no_weld(targets: Path) -> Scene:
    """A target without a weld."""
    (card,) = read_sheets(targets / "plate-card.toml")
    laid = (
        Laid(sheet=card, lie=Lie(s_mm=0.0, t_mm=-11.5, angle_deg=-0.9, ink_mm=0.02, lift_mm=0.04)),
    )
    return Scene(
        name="plate-no-weld",
        seed=7008,
        process=None,
        tags=("plate", "no weld", "window card"),
        description="The back of a plate: heat tint, scratches and writing, but no weld",
        metal=Metal(
            span_mm=(-78.0, 80.0, -78.0, 60.0),
            thickness_mm=6.0,
            base="brushed",
            stainless=True,
            scratches=50,
            stripe_tint=True,
            writing=(("back", 5.0, 6.0, 6.0, True),),
        ),
        view=hold(SMALL, 35.0, (0.0, -9.0), 208.0, (6.0, 120.0), -6.0),
        skin=Skin(colour=(0.6, 0.58, 0.55), rough=0.2, tint_nm=75.0, tint_mm=7.0),
        lighting="overcast",
        table="paint",
        development=Development(blur_px=0.85, exposure=0.28, noise=8e-4, quality=86),
        laid=laid,
    )
