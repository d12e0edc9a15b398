"""Light to pixels: the built scene traced with Mitsuba, the camera's rays made here.

The rays are made here so that lens distortion and depth of field are exact, with OpenCV's model.
"""

import os
from pathlib import Path
from typing import Any

import numpy as np

from samples.making.build import Built
from samples.making.camera import Camera
from samples.making.laser import laser_light, shone
from samples.making.meshes import Mesh
from samples.making.near import near_things, plain
from samples.making.noise import Image, field
from samples.making.table import SIDE_MM

VARIANTS = ("cuda_ad_rgb", "llvm_ad_rgb")
MOST_RAYS, MOST_RAYS_ON_CPU = 28_000_000, 6_000_000  # in one wavefront
SEED_STEP = 1_000_003  # between rows: bands of a picture share no random numbers
DEBIAN_LLVM = Path("/usr/lib/x86_64-linux-gnu")


def start_renderer(variant: str | None = None) -> Any:
    """Import Mitsuba with the first variant that works on this machine."""
    if "DRJIT_LIBLLVM_PATH" not in os.environ:
        libraries = sorted(DEBIAN_LLVM.glob("libLLVM*.so*"), key=lambda p: p.stat().st_size)
        if libraries:
            os.environ["DRJIT_LIBLLVM_PATH"] = str(libraries[-1])
    import drjit as dr  # noqa: PLC0415  (only the render extra has it)
    import mitsuba as mi  # noqa: PLC0415

    for name in (variant,) if variant else VARIANTS:
        try:
            mi.set_variant(name)
            dr.eval(mi.Float(1) + dr.arange(mi.Float, 2))
        except Exception as trouble:
            print(f"{name}: not on this machine ({trouble})")
            continue
        mi.set_log_level(mi.LogLevel.Error)
        return mi
    message = "no Mitsuba variant works here: a GPU, or libLLVM 16 or newer, is needed"
    raise SystemExit(message)


def render(mi: Any, built: Built, *, samples: int, seed: int) -> Image:
    """Linear light (H, W, 3)."""
    import drjit as dr  # noqa: PLC0415  (only the render extra has it)

    scene = mi.load_dict(_scene(mi, built))
    integrator = mi.load_dict({"type": "path", "max_depth": 4, "rr_depth": 5})
    camera = built.stage.camera
    on_gpu = mi.variant().startswith("cuda")
    # A square number of light paths a pixel can be spread evenly over pixel, lens and lights.
    per_pass = int(np.sqrt(samples)) ** 2
    passes = -(-samples // per_pass)
    most_rays = MOST_RAYS if on_gpu else MOST_RAYS_ON_CPU
    rows = max(1, most_rays // (camera.width_px * per_pass))
    light = np.zeros((camera.height_px, camera.width_px, 3), dtype=np.float64)
    line = np.zeros_like(light)
    shines = built.stage.scene.light is not None and built.stage.scene.light.kind == "laser"
    for number in range(passes):
        for top in range(0, camera.height_px, rows):
            band = range(top, min(top + rows, camera.height_px))
            ray, sampler = _rays(
                mi, built, band=band, samples=per_pass, seed=seed + number + SEED_STEP * top
            )
            # Without a GPU, one kernel a bounce is two to three times as quick as one for all.
            with dr.scoped_set_flag(dr.JitFlag.SymbolicLoops, on_gpu):
                colour, _, _ = integrator.sample(scene, sampler, ray)
            light[band.start : band.stop] += _picture(camera, colour, per_pass)
            if shines:
                red = laser_light(mi, scene, built, ray)
                line[band.start : band.stop] += _picture(camera, red, per_pass)
    light /= passes
    if shines:
        light += shone(line / passes, light, built)
    return light.astype(np.float32)


def _picture(camera: Camera, colour: Any, samples: int) -> Image:
    import drjit as dr  # noqa: PLC0415

    # One burning sample must not make a white dot: phones do not show such fireflies either.
    limit = 60.0
    channels = [np.array(dr.block_sum(dr.minimum(c, limit), samples)) / samples for c in colour]
    return np.stack(channels, axis=-1).reshape(-1, camera.width_px, 3)


def _rays(mi: Any, built: Built, *, band: range, samples: int, seed: int) -> tuple[Any, Any]:
    """The camera's rays through a band of rows, and the random numbers that go on with them."""
    import drjit as dr  # noqa: PLC0415

    camera, view = built.stage.camera, built.stage.scene.view
    count = camera.width_px * len(band) * samples
    sampler = mi.load_dict({"type": "multijitter", "sample_count": samples})
    sampler.set_samples_per_wavefront(samples)
    # Opaque values keep the compiled kernel the same from scene to scene.
    sampler.seed(dr.opaque(mi.UInt32, seed % 2**32), count)
    index = dr.arange(mi.UInt32, count) // samples
    jitter = sampler.next_2d()
    width = dr.opaque(mi.UInt32, camera.width_px)
    px = mi.Float(index % width) + jitter.x - 0.5
    py = mi.Float(index // width + dr.opaque(mi.UInt32, band.start)) + jitter.y - 0.5
    x, y = _undistort(mi, camera, px, py)
    lens = mi.warp.square_to_uniform_disk_concentric(sampler.next_2d())
    lens *= dr.opaque(mi.Float, view.lens_mm)
    focus = dr.opaque(mi.Float, view.distance_mm + view.focus_off_mm)
    # Through the same point of the plane in focus, from a point on the lens.
    local = mi.Vector3f(x * focus - lens.x, y * focus - lens.y, focus)
    turn = mi.Matrix3f(camera.rotation.T)
    eye = mi.Point3f(*[float(v) for v in camera.eye_mm])
    dr.make_opaque(turn, eye)
    origin = eye + turn @ mi.Vector3f(lens.x, lens.y, 0)
    return mi.RayDifferential3f(mi.Ray3f(origin, dr.normalize(turn @ local))), sampler


def _undistort(mi: Any, camera: Camera, px: Any, py: Any) -> tuple[Any, Any]:
    import drjit as dr  # noqa: PLC0415

    values = (*camera.centre_px, camera.focal_px, camera.k1, camera.k2)
    cx, cy, focal, k1, k2 = (dr.opaque(mi.Float, float(v)) for v in values)
    xd, yd = (px - cx) / focal, (py - cy) / focal
    x, y = mi.Float(xd), mi.Float(yd)
    for _ in range(8):
        r2 = x * x + y * y
        gain = 1 + k1 * r2 + k2 * r2 * r2
        x, y = xd / gain, yd / gain
    return x, y


def _scene(mi: Any, built: Built) -> dict[str, Any]:
    shapes: dict[str, Any] = {
        "type": "scene",
        "sky": _sky(mi, built),
        "metal": _mesh(mi, "metal", built.metal, _metal_bsdf(mi, built)),
        "sides": _mesh(mi, "sides", built.sides, plain(mi, [0.2, 0.195, 0.19], 0.5, metallic=0.7)),
        "table": _table(mi, built),
    }
    if built.magnets is not None:
        bsdf = plain(mi, [0.55, 0.54, 0.53], 0.22, metallic=1.0)
        shapes["magnets"] = _mesh(mi, "magnets", built.magnets, bsdf)
    if built.spatter is not None:
        bsdf = plain(mi, [0.18, 0.17, 0.16], 0.3, metallic=0.9)
        shapes["spatter"] = _mesh(mi, "spatter", built.spatter, bsdf)
    for k, (mesh, drawing) in enumerate(zip(built.sheet_meshes, built.sheet_drawings, strict=True)):
        paper = mi.load_dict(
            {
                "type": "twosided",
                "bsdf": {
                    "type": "principled",
                    "base_color": _texture(mi, np.repeat(drawing[..., None], 3, 2)),
                    "roughness": 0.6,
                    "specular": 0.35,
                },
            }
        )
        shapes[f"sheet{k}"] = _mesh(mi, f"sheet{k}", mesh, paper)
    for k, mesh in enumerate(built.blocks):
        shapes[f"block{k}"] = _mesh(mi, f"block{k}", mesh, _block_bsdf(mi, built, k))
    shapes.update(near_things(mi, built))
    return shapes


def _mesh(mi: Any, name: str, mesh: Mesh, bsdf: Any) -> Any:
    properties = mi.Properties()
    properties["bsdf"] = bsdf
    made = mi.Mesh(
        name,
        vertex_count=len(mesh.vertices),
        face_count=len(mesh.faces),
        has_vertex_normals=mesh.normals is not None,
        has_vertex_texcoords=True,
        props=properties,
    )
    parameters = mi.traverse(made)
    parameters["vertex_positions"] = mi.Float(mesh.vertices.astype(np.float32).ravel())
    parameters["faces"] = mi.UInt32(mesh.faces.ravel())
    parameters["vertex_texcoords"] = mi.Float(mesh.uv.astype(np.float32).ravel())
    if mesh.normals is not None:
        parameters["vertex_normals"] = mi.Float(mesh.normals.astype(np.float32).ravel())
    parameters.update()
    return made


def _texture(
    mi: Any, picture: np.ndarray, *, coded: bool = False, raw: bool = False
) -> dict[str, Any]:
    """Bitmap texture whose row 0 lies at v = 0."""
    bitmap = mi.Bitmap(np.ascontiguousarray(picture))
    if picture.dtype == np.uint8:
        bitmap.set_srgb_gamma(coded)
    return {
        "type": "bitmap",
        "bitmap": bitmap,
        "raw": raw,
        "filter_type": "bilinear",
        "wrap_mode": "clamp",
    }


def _metal_bsdf(mi: Any, built: Built) -> Any:
    skin = built.skin
    return mi.load_dict(
        {
            "type": "twosided",
            "bsdf": {
                "type": "normalmap",
                "normalmap": _texture(mi, skin.normal, raw=True),
                "bsdf": {
                    "type": "principled",
                    "base_color": _texture(mi, skin.colour, coded=True),
                    "roughness": _texture(mi, skin.rough[..., None], raw=True),
                    "metallic": _texture(mi, skin.metal[..., None], raw=True),
                    "specular": 0.4,
                },
            },
        }
    )


def _block_bsdf(mi: Any, built: Built, k: int) -> Any:
    """Drawn or ground steel with lines along it; a token is of brassy metal."""
    block = built.stage.scene.blocks[k]
    rng = np.random.default_rng([built.stage.scene.seed, 10, k])
    colour = [0.62, 0.52, 0.33] if block.kind == "token" else [0.5, 0.49, 0.48]
    lines = 1 + 0.08 * field(rng, (96, 256), cell=(1.0, 60.0))
    lines = lines + 0.05 * field(rng, (96, 256), cell=(3.0, 3.0))
    picture = np.clip(lines[..., None] * np.array(colour), 0.02, 0.95).astype(np.float32)
    return mi.load_dict(
        {
            "type": "twosided",
            "bsdf": {
                "type": "principled",
                "base_color": _texture(mi, picture),
                "roughness": float(rng.uniform(0.3, 0.5)),
                "metallic": 1.0,
                "specular": 0.4,
            },
        }
    )


def _rolled(mi: Any, built: Built) -> Any:
    """Turns the room about the pipe's axis: the pipe keeps its frame when it is rolled."""
    angle, radius = built.stage.scene.rolled_deg, built.stage.shape.radius_mm or 0.0
    turn = mi.ScalarTransform4f().translate([0, 0, -radius]).rotate([0, 1, 0], angle)
    return turn.translate([0, 0, radius])


def _table(mi: Any, built: Built) -> dict[str, Any]:
    steel = built.stage.scene.table in {"steel", "paint"}
    level = mi.ScalarTransform4f().translate([0, 0, built.table_z_mm]).scale(SIDE_MM / 2)
    move = _rolled(mi, built) @ level
    return {
        "type": "rectangle",
        "to_world": move,
        "bsdf": {
            "type": "twosided",
            "bsdf": {
                "type": "principled",
                "base_color": _texture(mi, built.table),
                "roughness": 0.42 if steel else 0.8,
                "metallic": 0.35 if built.stage.scene.table == "steel" else 0.0,
                "specular": 0.4,
            },
        },
    }


def _sky(mi: Any, built: Built) -> dict[str, Any]:
    # Mitsuba's sky has +y up, and its columns run with atan2(x, -z): with +z up, atan2(x, y).
    up = _rolled(mi, built) @ mi.ScalarTransform4f().rotate([1, 0, 0], 90)
    radiance = built.sky.radiance
    width = radiance.shape[1]
    u = (np.arange(width) + 0.5) / width
    source = (((0.25 - u) % 1) * width).astype(np.intp)
    bitmap = mi.Bitmap(np.ascontiguousarray(radiance[:, source]))
    return {"type": "envmap", "bitmap": bitmap, "to_world": up}
