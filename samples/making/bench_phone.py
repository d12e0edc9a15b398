"""Photos of the window card by one invented phone, to try ``beadcheck camera`` on.

The phone's lens has distortion and its axis misses the middle of the picture; the truth file holds
both. One photo is stored on its side, as phones do when they look straight down.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np

from samples.making.card import read_sheets
from samples.making.develop import Development, develop, save_photo
from samples.making.metrology import Pose, camera_of, cast
from samples.making.truth import write_json

MAKER = ("Harrow Quay", "bench phone")
STATED_FOCAL_MM = 26.0
TRUE_FOCAL_MM = 26.7  # longer than stated: it is focused near
K1, K2 = 0.041, -0.058
CENTRE_SHIFT_PX = (14.0, -9.0)  # in the picture as the sensor reads it
SIZE_PX = (2000, 1500)
REFOCUSED = (0.0, 0.002, -0.003, 0.001, -0.002, 0.003)  # relative, photo by photo

UPRIGHT = Pose(
    distance_mm=165.0,
    focal_equiv_mm=TRUE_FOCAL_MM,
    tilt_deg=0.0,
    tilt_towards_deg=0.0,
    roll_deg=0.0,
    blur_px=0.8,
    k1=K1,
    k2=K2,
    centre_shift_px=CENTRE_SHIFT_PX,
    ink_mm=0.02,
    size_px=SIZE_PX,
)
VIEWS = (  # tilt, towards, roll, distance, aside
    (24.0, 10.0, 3.0, 172.0, (2.0, -3.0)),
    (27.0, 105.0, -4.0, 178.0, (-4.0, 5.0)),
    (31.0, 192.0, 6.0, 176.0, (3.0, 2.0)),
    (22.0, 278.0, -2.0, 170.0, (-3.0, -4.0)),
    (9.0, 60.0, 92.0, 188.0, (1.0, 4.0)),
    (29.0, 230.0, 12.0, 180.0, (4.0, -1.0)),
)
ON_ITS_SIDE = 4


def bench_poses() -> tuple[Pose, ...]:
    """How each photo is taken, upright."""
    poses = []
    for number, (tilt, towards, roll, distance, aside) in enumerate(VIEWS):
        pose = replace(
            UPRIGHT,
            tilt_deg=tilt,
            tilt_towards_deg=towards,
            roll_deg=roll,
            distance_mm=distance,
            off_mm=aside,
            focal_equiv_mm=TRUE_FOCAL_MM * (1 + REFOCUSED[number]),
        )
        if number == ON_ITS_SIDE:
            right, down = CENTRE_SHIFT_PX
            pose = replace(pose, size_px=SIZE_PX[::-1], centre_shift_px=(-down, right))
        poses.append(pose)
    return tuple(poses)


def make_bench_phone(target: Path, out: Path) -> None:
    """Write the photos and their truth."""
    out.mkdir(parents=True, exist_ok=True)
    sheet = read_sheets(target)[0]
    for number, pose in enumerate(bench_poses()):
        rng = np.random.default_rng([8803, number])
        how = Development(
            blur_px=pose.blur_px,
            noise=4e-4,
            exposure=0.35,
            vignette=0.1,
            quality=82,
            turned=number == ON_ITS_SIDE,
        )
        save_photo(
            develop(cast(sheet, pose, rng=rng), how, rng=rng),
            out / f"card-{number + 1}.jpg",
            focal_equiv_mm=STATED_FOCAL_MM,
            how=how,
            taken=f"2026:03:02 09:{number:02d}:00",
            maker=MAKER,
        )
    camera = camera_of(UPRIGHT)
    (x, y), focal = camera.centre_px, camera.focal_px
    truth = {
        "image_size": list(SIZE_PX),
        "camera": {
            "K": [[focal, 0, x], [0, focal, y], [0, 0, 1]],
            "dist_k1_k2_p1_p2_k3": [K1, K2, 0.0, 0.0, 0.0],
        },
        "refocused": list(REFOCUSED),
        "card": {"target_file": sheet.file.name, "ink_mm": UPRIGHT.ink_mm},
    }
    write_json(out / "truth.json", truth)
