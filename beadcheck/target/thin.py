"""Neighbouring edge samples taken together, so that the solve is quick and sees patterns."""

from typing import Final

import numpy as np

from beadcheck.target.find import EdgeSamples

GROUPS_PER_SIDE: Final = 6
"""Enough to follow a lens or a bent card along a side, few enough for chance to average out."""
U_SIDE_PX: Final = 0.03
"""What demosaicing and sharpening do to a whole side (an estimate)."""


U_SIDE_MM: Final = 0.005
"""How far a printer sets a whole side from its place: an eighth of a 600 dpi dot (an estimate)."""


def thinned_edges(edges: EdgeSamples) -> EdgeSamples:
    """Means of neighbouring samples: at most `GROUPS_PER_SIDE` points a side.

    `u_px` becomes the standard uncertainty of each mean. What a whole side has in common is put
    into its points as if they were independent, but so large that the side's mean has it in full.
    """
    count = np.bincount(edges.side)
    first = np.concatenate([[0], np.cumsum(count)[:-1]])
    order = np.argsort(edges.side, kind="stable")
    place = np.empty_like(order)
    place[order] = np.arange(order.size)
    within = (place - first[edges.side]) * GROUPS_PER_SIDE // count[edges.side]
    _, lead, group, size = np.unique(
        GROUPS_PER_SIDE * edges.side + within,
        return_index=True,
        return_inverse=True,
        return_counts=True,
    )
    group = group.reshape(-1)

    groups = np.minimum(count, GROUPS_PER_SIDE)
    u_side_px = np.hypot(U_SIDE_PX, U_SIDE_MM * edges.px_per_mm)

    def means(values: np.ndarray) -> np.ndarray:
        return np.stack([np.bincount(group, column) / size for column in values.T], axis=1)

    return EdgeSamples(
        edge_mm=means(edges.edge_mm),
        outward_mm=edges.outward_mm[lead],
        points_px=means(edges.points_px),
        normals_px=edges.normals_px[lead],
        u_px=np.sqrt(edges.u_px[lead] ** 2 / size + groups[edges.side[lead]] * u_side_px**2),
        marker=edges.marker[lead],
        side=edges.side[lead],
    )
