"""Memory of a process and of all that it started, on Linux."""

from pathlib import Path


def memory_mb(root: int) -> float:
    """Return the memory of a process and all below it, pages that they share counted once."""
    parents: dict[int, int] = {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            told = stat.read_text("utf-8", "replace").rpartition(")")[2].split()
        except OSError:
            continue
        parents[int(stat.parent.name)] = int(told[1])
    tree, last = {root}, 0
    while len(tree) > last:
        last = len(tree)
        tree |= {child for child, parent in parents.items() if parent in tree}
    kilobytes = 0
    for each in tree:
        try:
            rollup = Path(f"/proc/{each}/smaps_rollup").read_text("ascii")
        except OSError:
            continue
        kilobytes += sum(int(line.split()[1]) for line in rollup.splitlines() if line[:4] == "Pss:")
    return kilobytes / 1e3
