"""Sample photos of plate as they should be taken."""

from pathlib import Path

from samples.making.bead import BeadStyle
from samples.making.card import Lie, read_sheets
from samples.making.develop import Development
from samples.making.heat import Skin
from samples.making.photo_setup import LARGE, MIDDLE, hold, magnets_at, two_strips
from samples.making.recipe import Laid, Metal, Passes, Scene
from samples.making.weld import Undercut


def plate_gtaw_pulsed(targets: Path) -> Scene:
    """Pulsed GTAW on stainless, window card."""
    style = BeadStyle(
        process="gtaw-pulsed",
        width_mm=6.4,
        crown_mm=0.85,
        pitch_mm=1.75,
        pitch_jitter=0.05,
        ripple_mm=0.13,
        arc=0.95,
        crest_phase=0.34,
        roundness=0.5,
        scallop=0.035,
        wander_mm=0.12,
        waviness_mm=0.07,
        unrest=0.06,
        lump_mm=0.12,
        crater_mm=0.4,
    )
    (card,) = read_sheets(targets / "plate-card.toml")
    laid = (
        Laid(sheet=card, lie=Lie(s_mm=1.0, t_mm=-12.4, angle_deg=0.5, ink_mm=0.02, lift_mm=0.04)),
    )
    return Scene(
        name="plate-gtaw-pulsed",
        seed=7001,
        process="gtaw-pulsed",
        tags=("plate", "gtaw-pulsed", "window card"),
        description="Tern's row of spots on stainless, window light, window card held by magnets",
        metal=Metal(
            span_mm=(-82.0, 78.0, -79.0, 58.0),
            thickness_mm=4.0,
            base="brushed",
            stainless=True,
            scratches=14,
            seam=True,
            writing=(("Tern 3", -74.0, 46.5, 1.0, False),),
        ),
        view=hold(LARGE, 48.0, (0.0, -10.0), 226.0, (7.0, 250.0), 3.5, (0.03, -0.02)),
        skin=Skin(colour=(0.60, 0.575, 0.55), rough=0.2, tint_nm=78.0, tint_mm=4.6, bead_nm=26.0),
        lighting="window",
        table="wood",
        development=Development(blur_px=0.9, exposure=0.30, noise=4e-4, warmth=0.02, quality=88),
        passes=Passes(
            style=style, start_mm=-44.0, end_mm=43.0, direction=1, fillet_mm=0.07, rough_mm=0.006
        ),
        laid=laid,
        magnets=magnets_at(laid, ((0, 32.0, 13.0), (0, 88.0, 75.0))),
        rods=2,
    )


def plate_gmaw(targets: Path) -> Scene:
    """GMAW stringer on a ground band, two strips."""
    style = BeadStyle(
        process="gmaw",
        width_mm=8.6,
        crown_mm=2.1,
        pitch_mm=1.25,
        pitch_jitter=0.09,
        ripple_mm=0.085,
        arc=1.1,
        crest_phase=0.45,
        roundness=0.85,
        scallop=0.02,
        wander_mm=0.25,
        waviness_mm=0.2,
        unrest=0.12,
        lump_mm=0.45,
        crater_mm=0.9,
    )
    laid = two_strips(
        targets, clear_mm=(9.5, 11.0), s_mm=(-2.0, 1.5), angles=(0.8, -1.1), ink_mm=0.03
    )
    return Scene(
        name="plate-gmaw-stringer",
        seed=7002,
        process="gmaw",
        tags=("plate", "gmaw", "two strips"),
        description="Moth's stringer on a ground band of mill-scaled plate, tubes, two strips",
        metal=Metal(
            span_mm=(-88.0, 84.0, -52.0, 56.0),
            thickness_mm=10.0,
            base="mill_scale",
            band_mm=17.0,
            scratches=20,
            spatter=34,
            writing=(("Moth 2G", -76.0, 40.0, 3.0, True),),
        ),
        view=hold(MIDDLE, 35.0, (2.0, 1.0), 170.0, (11.0, 285.0), -9.0),
        skin=Skin(
            colour=(0.46, 0.445, 0.425),
            rough=0.32,
            tint_nm=62.0,
            tint_mm=4.5,
            bead_nm=14.0,
            soot=0.12,
            silica=0.25,
        ),
        lighting="tubes",
        table="steel",
        development=Development(
            blur_px=0.9, exposure=0.26, noise=6e-4, quality=87, sharpening=0.25
        ),
        passes=Passes(
            style=style, start_mm=-66.0, end_mm=63.0, direction=-1, fillet_mm=0.1, rough_mm=0.02
        ),
        laid=laid,
        magnets=magnets_at(laid, ((1, 28.0, 44.0),)),
        rods=1,
    )


def plate_smaw(targets: Path) -> Scene:
    """SMAW with undercut, window card."""
    style = BeadStyle(
        process="smaw",
        width_mm=10.6,
        crown_mm=2.2,
        pitch_mm=1.7,
        pitch_jitter=0.19,
        ripple_mm=0.2,
        arc=1.0,
        crest_phase=0.42,
        roundness=0.7,
        scallop=0.035,
        wander_mm=0.4,
        waviness_mm=0.3,
        unrest=0.24,
        lump_mm=0.6,
        crater_mm=1.1,
    )
    (card,) = read_sheets(targets / "plate-card.toml")
    laid = (
        Laid(
            sheet=card,
            lie=Lie(s_mm=-1.0, t_mm=12.2, angle_deg=179.2, ink_mm=0.03, lift_mm=0.05, bow_mm=0.12),
        ),
    )
    return Scene(
        name="plate-smaw-undercut",
        seed=7003,
        process="smaw",
        tags=("plate", "smaw", "window card", "undercut"),
        description="Brisk's stick bead with undercut and slag in the toes, one lamp at a slant",
        metal=Metal(
            span_mm=(-80.0, 83.0, -60.0, 76.0),
            thickness_mm=12.0,
            base="ground_all",
            scratches=10,
            rust=0.12,
            spatter=60,
            writing=(("brisk", -70.0, -57.0, 2.0, True),),
        ),
        view=hold(MIDDLE, 28.0, (0.0, 9.0), 172.0, (9.0, 60.0), 171.0, (-0.04, 0.02)),
        skin=Skin(
            colour=(0.40, 0.385, 0.37),
            rough=0.34,
            tint_nm=70.0,
            tint_mm=4.5,
            bead_nm=16.0,
            soot=0.3,
            slag=0.45,
        ),
        lighting="lamp",
        table="concrete",
        development=Development(
            blur_px=0.85, exposure=0.24, noise=8e-4, warmth=0.03, contrast=0.15, quality=86
        ),
        passes=Passes(
            style=style,
            start_mm=-45.0,
            end_mm=44.0,
            direction=1,
            fillet_mm=0.1,
            rough_mm=0.04,
            undercuts=(Undercut(side="lo", start_mm=-12.0, end_mm=15.0, depth_mm=0.6),),
        ),
        laid=laid,
        magnets=magnets_at(laid, ((0, 60.0, 75.0),)),
    )
