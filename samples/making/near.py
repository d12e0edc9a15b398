"""What stands near the coupon: the phone (metal shows it), lamps, a rule, rods on the table."""

from typing import Any

import numpy as np

from samples.making.build import Built
from samples.making.light_sheet import sheet_of
from samples.making.noise import Image
from samples.making.recipe import Light

RULE_MM = (300.0, 16.0)  # a narrow steel rule: it hides one marker of a row


def plain(mi: Any, colour: list[float], rough: float, *, metallic: float = 0.0) -> Any:
    """A material of one colour."""
    return mi.load_dict(
        {
            "type": "twosided",
            "bsdf": {
                "type": "principled",
                "base_color": {"type": "rgb", "value": colour},
                "roughness": rough,
                "metallic": metallic,
                "specular": 0.4,
            },
        }
    )


def near_things(mi: Any, built: Built) -> dict[str, Any]:
    """The phone (metal shows it), lamps near it, and rods on the table."""
    camera = built.stage.camera
    eye, right, down, ahead = camera.eye_mm, *camera.rotation
    things: dict[str, Any] = {}
    body = mi.ScalarTransform4f().look_at(
        origin=(eye - 6 * ahead + 55 * right + 22 * down).tolist(),
        target=eye + 300 * ahead + 55 * right + 22 * down,
        up=(-down).tolist(),
    ) @ mi.ScalarTransform4f().scale([76, 37, 1])
    light = built.stage.scene.light
    if light is None:  # it is held where it does not cut the sheet of light
        things["phone"] = {
            "type": "rectangle",
            "to_world": body,
            "bsdf": plain(mi, [0.02, 0.02, 0.022], 0.3),
        }
    elif light.kind == "shadow":
        things.update(_rule_and_lamp(mi, built, light))
    rng = np.random.default_rng([built.stage.scene.seed, 8])
    if built.stage.scene.lighting == "ring":
        middle = eye - 3 * ahead
        for k in range(20):
            turn = 2 * np.pi * k / 20
            at = middle + 48 * (np.cos(turn) * right + np.sin(turn) * down)
            things[f"ring{k}"] = _bulb(at, 4.5, 55.0)
    elif built.stage.scene.lighting == "flash":
        things["flash"] = _bulb(eye - 2 * ahead + 14 * right + 3 * down, 2.5, 1300.0)
    for k in range(built.stage.scene.rods):
        things[f"rod{k}"] = _rod(mi, built, rng)
    return things


def _rule_and_lamp(mi: Any, built: Built, light: Light) -> dict[str, Any]:
    """A steel rule that lies over the weld on something out of the picture, and a small lamp."""
    sheet = sheet_of(light, built.stage.shape)
    out = np.cross(sheet.beside, sheet.along)
    out = out * np.sign(out @ sheet.towards)
    edge = sheet.point_mm + sheet.towards * light.edge_mm / float(sheet.towards @ out)
    side = float(np.sign(light.angle_deg)) or 1.0
    middle = edge + side * sheet.beside * RULE_MM[1] / 2
    rule = mi.ScalarTransform4f().look_at(
        origin=middle.tolist(), target=(middle + out).tolist(), up=sheet.beside.tolist()
    ) @ mi.ScalarTransform4f().scale([RULE_MM[0] / 2, RULE_MM[1] / 2, 1])
    # The lamp outshines the room at the point by `power`.
    lit = float(sheet.towards @ out) * np.pi * (light.lamp_mm / light.reach_mm) ** 2
    radiance = light.power * _from_above(built.sky.radiance) / lit
    return {
        "rule": {
            "type": "rectangle",
            "to_world": rule,
            "bsdf": plain(mi, [0.55, 0.545, 0.53], 0.35, metallic=1.0),
        },
        "lamp": _bulb(sheet.source_mm, light.lamp_mm, radiance),
    }


def _from_above(radiance: Image) -> float:
    """Mean irradiance of a level surface under the sky."""
    polar = (np.arange(len(radiance)) + 0.5) / len(radiance) * np.pi
    weight = np.sin(polar) * np.clip(np.cos(polar), 0, None) * np.pi / len(radiance) * 2 * np.pi
    return float((radiance.mean(axis=(1, 2)) * weight).sum())


def _bulb(at: np.ndarray, radius: float, radiance: float) -> dict[str, Any]:
    return {
        "type": "sphere",
        "center": at.tolist(),
        "radius": radius,
        "emitter": {
            "type": "area",
            "radiance": {"type": "rgb", "value": [radiance, radiance * 0.97, radiance * 0.92]},
        },
    }


def _rod(mi: Any, built: Built, rng: np.random.Generator) -> dict[str, Any]:
    span = built.stage.scene.metal.span_mm
    radius = float(rng.choice([0.8, 1.2, 1.6, 2.0]))
    turn = rng.normal(0, 0.25)
    side = rng.choice([-1, 1])
    t = span[3] + rng.uniform(6, 25) if side > 0 else span[2] - rng.uniform(6, 25)
    middle = np.array([rng.uniform(-40, 40), t, built.table_z_mm + radius])
    along = np.array([np.cos(turn), np.sin(turn) * 0.3, 0]) * 180
    move = mi.ScalarTransform4f().look_at(
        origin=(middle - along).tolist(), target=middle.tolist(), up=[0, 0, 1]
    ) @ mi.ScalarTransform4f().scale([radius, radius, 360])
    return {
        "type": "cylinder",
        "to_world": move,
        "bsdf": plain(
            mi, [0.6, 0.36, 0.26] if rng.random() < 0.5 else [0.6, 0.58, 0.55], 0.3, metallic=1.0
        ),
    }
