"""The command leaves the cores to OpenCV, unless whoever starts it wants otherwise."""

import os
import subprocess
import sys

import pytest


@pytest.mark.parametrize(("wished", "threads"), [(None, "1"), ("3", "3")])
def test_the_command_asks_for_one_blas_thread_before_numpy_loads(wished, threads):
    environment = {k: v for k, v in os.environ.items() if k != "OPENBLAS_NUM_THREADS"}
    if wished is not None:
        environment["OPENBLAS_NUM_THREADS"] = wished
    code = (
        "import os, sys\n"
        "from beadcheck.cli import main\n"
        "assert 'numpy' not in sys.modules\n"
        "sys.argv = ['beadcheck', '--version']\n"
        "try: main()\n"
        "except SystemExit: print(os.environ['OPENBLAS_NUM_THREADS'])\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=True, text=True, env=environment
    )
    assert done.stdout.split()[-1] == threads
