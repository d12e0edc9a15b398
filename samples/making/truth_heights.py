"""The truth of a photo for heights: sections, outline, light line, and what lies on the metal."""

from typing import Any

import numpy as np

from samples.making.light_line import light_line
from samples.making.limb import limb
from samples.making.recipe import Block
from samples.making.relief import Relief
from samples.making.rounding import rounded
from samples.making.sections import sections
from samples.making.stage import Stage
from samples.making.things import corners_st_mm, rigid_mm
from samples.making.top import Top


def height_truth(stage: Stage, heights: Relief) -> dict[str, Any]:
    """What a photo for heights adds to the truth of a face photo."""
    scene, top = stage.scene, Top(stage=stage, heights=heights)
    ground, about_mm = scene.metal.ground, scene.view.at_st_mm[0]
    weld = stage.weld
    return {
        "kind": scene.kind,
        "coupon": scene.coupon,
        "shot": scene.shot,
        "ground": {
            "misalignment_mm": ground.step_mm,
            "groove_half_mm": ground.groove_half_mm,
            "bevel_deg": ground.bevel_deg if ground.groove_half_mm > 0 else None,
        },
        "blocks": [_block(stage, block) for block in scene.blocks],
        "step": next((_block(stage, b) for b in scene.blocks if b.kind == "step"), None),
        "profiles": [] if weld is None else sections(weld, heights, about_mm=about_mm),
        "limb": limb(top) if scene.kind == "side-on" else None,
        "laser": light_line(top),
    }


def _block(stage: Stage, block: Block) -> dict[str, Any]:
    corners = corners_st_mm(block)
    top = np.concatenate([corners, np.full((4, 1), block.thickness_mm)], axis=1)
    middle = np.array([block.s_mm, block.t_mm, block.thickness_mm])
    return {
        "kind": block.kind,
        "thickness_mm": block.thickness_mm,
        "diameter_mm": block.length_mm if block.kind == "token" else None,
        "middle_st_mm": rounded(middle[:2]),
        "middle_px": rounded(stage.camera.project(stage.shape.xyz_mm(middle))),
        "corners_st_mm": rounded(corners),
        "corners_px": rounded(stage.camera.project(rigid_mm(stage.shape, block, top))),
    }
