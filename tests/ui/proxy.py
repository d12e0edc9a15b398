"""A stretch of network that can be cut."""

import contextlib
import socket
import threading
import time
from typing import Final

CHUNK: Final = 65536


class CuttableProxy:
    """Hands bytes on to a port of this computer, until `cut` closes every connection."""

    def __init__(self, target_port: int) -> None:
        self._target_port = target_port
        self._open: set[socket.socket] = set()
        self._refuse_until_s = 0.0
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.port = int(self._listener.getsockname()[1])
        threading.Thread(target=self._accept, daemon=True).start()

    def cut(self, *, seconds: float) -> None:
        """Close all connections, and refuse new ones for a while."""
        self._refuse_until_s = time.monotonic() + seconds
        for end in tuple(self._open):
            _shut(end)

    def close(self) -> None:
        """Stop listening."""
        self._listener.close()
        self.cut(seconds=0.0)

    def _accept(self) -> None:
        while True:
            try:
                near, _ = self._listener.accept()
            except OSError:
                return
            if time.monotonic() < self._refuse_until_s:
                _shut(near)
                continue
            far = socket.create_connection(("127.0.0.1", self._target_port))
            self._open |= {near, far}
            for source, sink in ((near, far), (far, near)):
                threading.Thread(target=self._hand_on, args=(source, sink), daemon=True).start()

    def _hand_on(self, source: socket.socket, sink: socket.socket) -> None:
        with contextlib.suppress(OSError):
            while chunk := source.recv(CHUNK):
                sink.sendall(chunk)
        _shut(source)
        _shut(sink)
        self._open -= {source, sink}


def _shut(end: socket.socket) -> None:
    with contextlib.suppress(OSError):
        end.shutdown(socket.SHUT_RDWR)
    end.close()
