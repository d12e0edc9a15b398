"""Run the command as ``python -m beadcheck``."""

from beadcheck.cli import main

main()
