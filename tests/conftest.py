"""What holds for all tests."""

import os

if "PYTEST_XDIST_WORKER" in os.environ:
    # The tests beside these want the other cores: threads that wait for one another cost a fifth.
    os.environ.setdefault("OPENCV_FOR_THREADS_NUM", "1")
