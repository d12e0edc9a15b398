"""A photo of the root side, through the open end of a pipe."""

from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np

from samples.making.card import Lie, read_sheets
from samples.making.photo_setup import hold
from samples.making.photos_pipe import pipe_gtaw_pulsed
from samples.making.recipe import Laid, Scene
from samples.making.sets import make_set

BORE_MM: Final = 154.06  # NPS 6 SCH 40: 168.3 mm less two walls of 7.11 mm, and 0.02 mm tighter
STRIP_S_MM: Final = 11.87


def pipe_root_side(targets: Path) -> Scene:
    """Gull's root inside NPS 6: a narrow bead of spots, the strip between it and the open end."""
    outside = pipe_gtaw_pulsed(targets)
    (strip,) = read_sheets(targets / "bore-strip-nps-6-sch-40.toml")
    half = np.pi * BORE_MM / 2
    passes = outside.passes
    assert passes is not None  # noqa: S101  # that scene has a weld
    style = replace(passes.style, width_mm=5.2, crown_mm=1.2, pitch_mm=1.5)
    return replace(
        outside,
        name="pipe-root-side",
        tags=("pipe", "gtaw-pulsed", "root side", "bore strip"),
        description="Gull's root inside NPS 6 stainless, through the open end, grey daylight",
        metal=replace(
            outside.metal,
            span_mm=(-half, half, -70.0, 70.0),
            outside_diameter_mm=None,
            bore_mm=BORE_MM,
            writing=(),
        ),
        view=hold((1632, 1224), 28.0, (0.0, -6.0), 150.0, (38.0, 270.0), 3.0),
        development=replace(outside.development, exposure=0.45),
        passes=replace(passes, style=style, start_mm=-200.0, end_mm=200.0),
        laid=(Laid(sheet=strip, lie=Lie(s_mm=STRIP_S_MM, t_mm=-15.0, ink_mm=0.02)),),
    )


def make_root_side(targets: Path, out: Path, *, samples: int, variant: str | None) -> None:
    """Render it, with its truth beside it."""
    scene = pipe_root_side(targets)
    make_set([scene], out, samples=samples, variant=variant, mesh_mm=0.12, texel_mm=0.08)
