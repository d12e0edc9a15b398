"""Passes in a groove from above, drawn at random: the toes lie on the walls, below the target."""

from dataclasses import replace
from pathlib import Path

from samples.making.recipe import Scene
from samples.making.variety_pair import pair_scenes

MOST_TILT_DEG = 20.0


def groove_scene(name: str, seed: int, *, targets: Path) -> Scene:
    """One photo from above of a hollow pass 1 to 5 mm deep in a V-groove."""
    scene = pair_scenes(name, seed, form="groove", targets=targets)[0]
    view = replace(scene.view, tilt_deg=min(scene.view.tilt_deg, MOST_TILT_DEG))
    return replace(scene, name=name, kind="groove", shot=0, view=view, blocks=(), tags=("groove",))
