"""How near to the truth are values read from profiles, and does U hold?

    python tests/benchmarks/profile_reading.py [--sections 400] [--first-seed 1]

Sections of known shape (`section_shapes.py`) are shown as each way of measuring would, with
correlated noise, tilt, holes, and errors of scale and form drawn from what the profile states.
"""

import argparse
import time
from collections import defaultdict

import numpy as np
from section_shapes import drawn_seen, drawn_shape, profile, truth

from beadcheck.errors import BeadcheckError
from beadcheck.measurements.profile import read_profile
from beadcheck.profiles import ProfileMethod


def main() -> None:
    """Print a table for each way of measuring."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sections", type=int, default=400)
    parser.add_argument("--first-seed", type=int, default=1)
    wanted = parser.parse_args()
    for method in ProfileMethod:
        _one_way(method, wanted.sections, np.random.default_rng(wanted.first_seed))


def _one_way(method: ProfileMethod, sections: int, rng: np.random.Generator) -> None:
    readings: dict[str, list[tuple[float, float]]] = defaultdict(list)
    refused, seconds = 0, 0.0
    for _ in range(sections):
        shape = drawn_shape(rng)
        one, said = profile(shape, drawn_seen(method, rng), rng), truth(shape)
        begun = time.perf_counter()
        try:
            reading = read_profile(one, weld_pass=None)
        except BeadcheckError:
            refused += 1
            continue
        seconds += time.perf_counter() - begun
        for each in reading.values:
            exact = said[each.name.value, each.side.value if each.side else None]
            readings[each.name.value].append((each.value - exact, each.expanded_uncertainty))
    print(
        f"{method}: {sections} sections, {refused} refused, {1e3 * seconds / sections:.1f} ms each"
    )
    print(
        f"  {'':22} {'n':>5} {'within U':>9} {'bias':>7} {'median':>7} {'90 %':>7} {'median U':>9}"
    )
    for name, pairs in readings.items():
        error, expanded = np.array(pairs).T
        size = np.abs(error)
        within = 100.0 * np.mean(size <= expanded)
        numbers = (error.mean(), np.median(size), np.percentile(size, 90.0))
        told = " ".join(f"{number:7.3f}" for number in numbers)
        print(f"  {name:22} {len(size):5} {within:8.1f}% {told} {np.median(expanded):9.3f}")


if __name__ == "__main__":
    main()
