"""A network shipped with the package, its file read once, run by OpenCV."""

from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from queue import Empty, SimpleQueue

import cv2
import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True)
class OnnxModel:
    """OpenCV keeps a network's input inside it, so each thread that asks at once has its own.

    Attributes
    ----------
    contents
        Bytes of the ONNX file.
    idle
        Networks that nobody asks at the moment.
    """

    contents: NDArray[np.uint8]
    idle: SimpleQueue[cv2.dnn.Net] = field(default_factory=SimpleQueue)

    def answer(self, codes: NDArray[np.float32]) -> NDArray[np.float32]:
        """Return a copy of what the network makes of (1, C, H, W) contiguous values."""
        try:
            net = self.idle.get_nowait()
        except Empty:
            net = cv2.dnn.readNetFromONNX(self.contents)
        net.setInput(codes)
        answer = np.array(net.forward(), dtype=np.float32)
        self.idle.put(net)
        return answer


@cache
def shipped_model(file: str) -> OnnxModel:
    """Read a model of this package by its file name."""
    model = (files("beadcheck.finder") / file).read_bytes()
    return OnnxModel(contents=np.frombuffer(model, dtype=np.uint8))
