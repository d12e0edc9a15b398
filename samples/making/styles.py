"""How each process lays its beads and marks the metal, drawn at random."""

from dataclasses import replace

import numpy as np

from samples.making.bead import BeadStyle
from samples.making.heat import Skin
from samples.making.recipe import Passes
from samples.making.weld import Undercut


def style_of(process: str, rng: np.random.Generator) -> BeadStyle:
    """A bead style of a process."""
    u = rng.uniform
    if process in {"gtaw-pulsed", "gtaw"}:
        width = u(4.5, 8.5)
        pulsed = process == "gtaw-pulsed"
        return BeadStyle(
            process=process,
            width_mm=width,
            crown_mm=u(0.5, 1.3) if pulsed else u(0.4, 1.2),
            pitch_mm=width * u(0.18, 0.42) if pulsed else width * u(0.10, 0.2),
            pitch_jitter=u(0.03, 0.12),
            ripple_mm=u(0.08, 0.2) if pulsed else u(0.025, 0.07),
            arc=u(0.7, 1.15),
            crest_phase=u(0.28, 0.42),
            roundness=u(0.35, 0.7),
            scallop=u(0.02, 0.08) if pulsed else u(0.005, 0.03),
            wander_mm=u(0.05, 0.3),
            waviness_mm=u(0.04, 0.16),
            unrest=u(0.04, 0.14),
            lump_mm=u(0, 0.3),
            crater_mm=u(0.2, 0.7),
        )
    if process == "smaw":
        width = u(7.5, 13)
        return BeadStyle(
            process="smaw",
            width_mm=width,
            crown_mm=u(1.3, 3.0),
            pitch_mm=u(1.2, 2.4),
            pitch_jitter=u(0.14, 0.25),
            ripple_mm=u(0.1, 0.26),
            arc=u(0.7, 1.25),
            crest_phase=u(0.35, 0.5),
            roundness=u(0.5, 0.9),
            scallop=u(0.02, 0.05),
            wander_mm=u(0.15, 0.5),
            waviness_mm=u(0.15, 0.35),
            unrest=u(0.18, 0.32),
            lump_mm=u(0.2, 0.8),
            crater_mm=u(0.5, 1.4),
        )
    if process == "weave":
        width = u(11, 18)
        return BeadStyle(
            process="smaw" if rng.random() < 0.5 else "gmaw",
            width_mm=width,
            crown_mm=u(1.0, 2.4),
            pitch_mm=u(1.3, 2.4),
            pitch_jitter=u(0.08, 0.2),
            ripple_mm=u(0.1, 0.24),
            arc=u(0.4, 0.8),
            crest_phase=u(0.35, 0.5),
            roundness=u(0.5, 0.9),
            scallop=u(0.01, 0.03),
            wander_mm=u(0.1, 0.4),
            waviness_mm=u(0.12, 0.3),
            unrest=u(0.15, 0.3),
            toe_power=u(2.4, 3.2),
            weave_mm=u(0.1, 0.35),
            weave_pitch_mm=u(3, 5),
            lump_mm=u(0.1, 0.5),
            crater_mm=u(0.4, 1.0),
        )
    width = u(5.5, 11)
    return BeadStyle(
        process="gmaw",
        width_mm=width,
        crown_mm=u(1.2, 3.0),
        pitch_mm=u(0.8, 1.7),
        pitch_jitter=u(0.06, 0.15),
        ripple_mm=u(0.03, 0.10),
        arc=u(0.8, 1.3),
        crest_phase=u(0.4, 0.5),
        roundness=u(0.7, 1.0),
        scallop=u(0.01, 0.03),
        wander_mm=u(0.1, 0.35),
        waviness_mm=u(0.1, 0.28),
        unrest=u(0.08, 0.2),
        lump_mm=u(0.2, 0.7),
        crater_mm=u(0.4, 1.2),
    )


def skin_of(process: str, *, stainless: bool, rng: np.random.Generator) -> Skin:
    """The look of weld metal and heat."""
    u = rng.uniform
    if process.startswith("gtaw"):
        if stainless:
            return Skin(
                colour=(0.60, 0.575, 0.55),
                rough=u(0.16, 0.30),
                tint_nm=u(50, 115) if rng.random() < 0.7 else u(115, 160),
                tint_mm=u(3.5, 11),
                bead_nm=u(5, 75),
                soot=0.0,
            )
        return Skin(
            colour=(0.50, 0.49, 0.47),
            rough=u(0.2, 0.34),
            tint_nm=u(40, 110),
            tint_mm=u(3, 8),
            bead_nm=u(0, 40),
            soot=u(0, 0.15),
        )
    slaggy = process in {"smaw", "weave"}
    return Skin(
        colour=(0.40, 0.385, 0.37) if slaggy else (0.46, 0.44, 0.42),
        rough=u(0.26, 0.45),
        tint_nm=u(30, 110),
        tint_mm=u(3, 8),
        bead_nm=u(0, 35),
        soot=u(0.1, 0.7) if slaggy else u(0, 0.35),
        slag=u(0.1, 0.8) if slaggy else 0.0,
        silica=0.0 if slaggy else u(0, 0.6),
    )


def passes_of(process: str, *, start: float, end: float, rng: np.random.Generator) -> Passes:
    """Lay out the beads of a weld."""
    style = style_of(
        "gmaw"
        if process == "multi" and rng.random() < 0.5
        else "smaw"
        if process == "multi"
        else process,
        rng,
    )
    offsets: tuple[float, ...] = (rng.normal(0, 0.3),)
    if process == "multi":
        count = int(rng.integers(2, 5))
        style = replace(style, width_mm=style.width_mm * 0.75, lump_mm=0.2)
        gap = style.width_mm * rng.uniform(0.45, 0.62)
        offsets = tuple(gap * (k - (count - 1) / 2) + rng.normal(0, 0.15) for k in range(count))
    undercuts: tuple[Undercut, ...] = ()
    if process in {"smaw", "weave", "gmaw", "multi"} and rng.random() < 0.35:
        middle, half = rng.uniform(start + 20, end - 20), rng.uniform(5, 18)
        undercuts = (
            Undercut(
                side=str(rng.choice(["lo", "hi"])),
                start_mm=middle - half,
                end_mm=middle + half,
                depth_mm=rng.uniform(0.2, 0.8),
                width_mm=rng.uniform(0.5, 0.9),
            ),
        )
    rough = {"gtaw-pulsed": 0.008, "gtaw": 0.006, "gmaw": 0.02}.get(process, 0.045)
    return Passes(
        style=style,
        start_mm=start,
        end_mm=end,
        direction=int(rng.choice([-1, 1])),
        offsets_mm=offsets,
        undercuts=undercuts,
        fillet_mm=rng.uniform(0.05, 0.14),
        rough_mm=rough * rng.uniform(0.6, 1.5),
    )
