"""What a child of the fork server does: become the command, with streams and a place of its own."""

import os
import sys
from collections.abc import Mapping, Sequence

from beadcheck.cli import main


def become(
    arguments: Sequence[str], folder: str, environment: Mapping[str, str], told: str, said: str
) -> None:
    """Run the command; what it writes goes to the files `told` and `said`."""
    for number, path in enumerate((os.devnull, told, said)):
        opened = os.open(path, os.O_RDWR if number else os.O_RDONLY)
        os.dup2(opened, number)
        os.close(opened)
    sys.stdin = open(0, encoding="utf-8", closefd=False)  # noqa: SIM115
    sys.stdout = open(1, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
    sys.stderr = open(2, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
    os.environ.clear()
    os.environ.update(environment)
    os.chdir(folder)
    sys.argv = ["beadcheck", *arguments]
    main()


if __name__ == "__main__":
    become(*ORDER)  # noqa: F821  # handed over by who runs this file
