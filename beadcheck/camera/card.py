"""A printed target laid flat: the edges of its markers."""

from collections import Counter
from dataclasses import dataclass

import numpy as np

from beadcheck.camera.view import BoardView
from beadcheck.photo import Photo
from beadcheck.target.design import TargetDesign
from beadcheck.target.find import find_target
from beadcheck.target.thin import thinned_edges


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One of these targets. Of a target in pieces only the piece with most markers counts."""

    designs: tuple[TargetDesign, ...]

    def view(self, photo: Photo) -> BoardView:
        """Find the markers' edges.

        Raises
        ------
        TargetError
            The photo does not show enough of the target.
        """
        found = find_target(photo, self.designs)
        pieces = [each.marker.piece for each in found.markers]
        piece = Counter(pieces).most_common(1)[0][0]
        kept = [place for place, own in enumerate(pieces) if own == piece]
        edges = thinned_edges(found.edges.of_markers(np.array(kept)))
        markers = [found.markers[place] for place in kept]
        return BoardView(
            board=f"{found.design.name}, piece {piece}" if piece else found.design.name,
            board_mm=edges.edge_mm,
            outward_mm=edges.outward_mm,
            points_px=edges.points_px,
            normals_px=edges.normals_px,
            u_px=edges.u_px,
            start_mm=np.concatenate([each.marker.corners_mm for each in markers]),
            start_px=np.concatenate([each.corners_px for each in markers]),
        )
