"""Where everything of a scene stands: enough to compute its truth, nothing to look at yet."""

from dataclasses import dataclass

import numpy as np

from samples.making.bead import Bead, lay_bead
from samples.making.camera import Camera, aim
from samples.making.card import Sheet
from samples.making.recipe import Passes, Scene
from samples.making.shape import Shape
from samples.making.weld import Weld


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stage:
    """A scene with its weld laid and its camera in place."""

    scene: Scene
    shape: Shape
    camera: Camera
    weld: Weld | None

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """The pieces of the target."""
        return tuple(laid.sheet for laid in self.scene.laid)


def set_stage(scene: Scene) -> Stage:
    """Lay the weld and place the camera."""
    return Stage(scene=scene, shape=_shape(scene), camera=_camera(scene), weld=_weld(scene))


def _shape(scene: Scene) -> Shape:
    """The coupon's shape."""
    diameter = scene.metal.outside_diameter_mm
    if scene.metal.bore_mm is not None:
        diameter = -scene.metal.bore_mm
    return Shape(radius_mm=None if diameter is None else diameter / 2)


def _weld(scene: Scene) -> Weld | None:
    """The weld, from the scene's seed."""
    passes = scene.passes
    if passes is None:
        return None
    beads = _runs(scene, passes) or tuple(
        lay_bead(
            np.random.default_rng([scene.seed, 1, k]),
            passes.style,
            start_mm=passes.start_mm,
            end_mm=passes.end_mm,
            direction=passes.direction,
            offset_mm=offset,
        )
        for k, offset in enumerate(passes.offsets_mm)
    )
    return Weld(
        beads=beads,
        undercuts=passes.undercuts,
        fillet_mm=passes.fillet_mm,
        rough_mm=passes.rough_mm,
        ground=scene.metal.ground,
    )


def _runs(scene: Scene, passes: Passes) -> tuple[Bead, ...]:
    """What is laid round a pipe, run by run."""
    radius = _shape(scene).radius_mm
    turn = None if radius is None else 2 * np.pi * radius
    return tuple(
        lay_bead(
            np.random.default_rng([scene.seed, 1, k]),
            run.style,
            start_mm=run.start_mm,
            end_mm=run.end_mm,
            direction=run.direction,
            offset_mm=run.offset_mm,
            turn_mm=turn,
            lane=run.lane,
        )
        for k, run in enumerate(passes.runs)
    )


def _camera(scene: Scene) -> Camera:
    """The camera in its place."""
    view = scene.view
    rotation, translation = aim(
        _shape(scene),
        at_st_mm=view.at_st_mm,
        distance_mm=view.distance_mm,
        tilt_deg=view.tilt_deg,
        tilt_towards_deg=view.tilt_towards_deg,
        roll_deg=view.roll_deg,
        roll_of=view.roll_of,
        turned_deg=view.turned_deg,
    )
    return Camera(
        width_px=view.width_px,
        height_px=view.height_px,
        focal_equiv_mm=view.focal_equiv_mm,
        rotation=rotation,
        translation_mm=translation,
        k1=view.k1,
        k2=view.k2,
        centre_shift_px=view.centre_shift_px,
    )
