"""The sample photos, as taken at Harrow Quay Weld Shop (which is invented)."""

from pathlib import Path

from samples.making.photos_good import plate_gmaw, plate_gtaw_pulsed, plate_smaw
from samples.making.photos_heights import pipe_height_scenes, plate_height_scenes
from samples.making.photos_pipe import pipe_gtaw_pulsed, pipe_smaw_weave
from samples.making.photos_poor import plate_dim_shop, plate_no_target, plate_no_weld
from samples.making.recipe import Scene


def sample_scenes(targets: Path) -> list[Scene]:
    """Return the scenes; `targets` is the folder of the shipped target files."""
    return [
        plate_gtaw_pulsed(targets),
        plate_gmaw(targets),
        plate_smaw(targets),
        pipe_gtaw_pulsed(targets),
        pipe_smaw_weave(targets),
        plate_dim_shop(targets),
        plate_no_target(),
        plate_no_weld(targets),
        *pipe_height_scenes(targets),
        *plate_height_scenes(targets),
    ]
