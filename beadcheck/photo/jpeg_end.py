"""Whether a JPEG goes on to its end."""

from typing import Final

import numpy as np

_END_OF_IMAGE: Final = 0xD9
_START_OF_SCAN: Final = 0xDA
_RESTARTS: Final = (0xD0, 0xD7)


def jpeg_is_whole(contents: bytes) -> bool:
    """Tell whether the first picture of a JPEG file reaches its end-of-image marker.

    Decoders fill what is missing with grey and say so only on standard error. The segments are
    followed as ITU-T T.81 (annex B) lays them out, so an end marker inside a thumbnail does not
    count, and what follows the picture (further pictures, a maker's trailer) does not matter.
    """
    octets = np.frombuffer(contents, dtype=np.uint8)
    starts = np.flatnonzero(octets[:-1] == 0xFF)
    codes = octets[starts + 1]
    # In coded data 0xFF is followed by a stuffed 0 or a restart code; 0xFF 0xFF is padding.
    is_restart = (codes >= _RESTARTS[0]) & (codes <= _RESTARTS[1])
    is_marker = (codes != 0x00) & (codes != 0xFF) & ~is_restart
    markers = starts[is_marker]
    position = 2
    seen_scan = False
    while True:
        index = int(np.searchsorted(markers, position))
        if index == len(markers):
            return False
        at = int(markers[index])
        code = int(octets[at + 1])
        if code == _END_OF_IMAGE:
            return seen_scan
        seen_scan = seen_scan or code == _START_OF_SCAN
        if at + 4 > len(contents):
            return False
        position = at + 2 + int.from_bytes(contents[at + 2 : at + 4], "big")
