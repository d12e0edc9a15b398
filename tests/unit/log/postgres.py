"""A PostgreSQL server that the tests start, and stop again."""

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

STARTING_S = 60.0


def server_programs() -> Path | None:
    """Folder of initdb and pg_ctl; None where PostgreSQL is not installed."""
    asked = shutil.which("pg_config")
    if asked is not None:
        said = subprocess.run([asked, "--bindir"], capture_output=True, check=False, text=True)
        if (Path(said.stdout.strip()) / "initdb").exists():
            return Path(said.stdout.strip())
    # Debian keeps the server's programs out of the path, and may lack pg_config.
    found = [*sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), reverse=True)]
    in_path = shutil.which("initdb")
    return found[0].parent if found else Path(in_path).parent if in_path else None


@contextmanager
def running_server(programs: Path) -> Iterator[Path]:
    """A server without any protection, which listens on a socket in this folder alone."""
    folder = Path(tempfile.mkdtemp(prefix="pg-"))
    data = folder / "data"
    as_user = {}
    if os.geteuid() == 0:
        # It refuses to run as root.
        user = _system_user()
        os.chown(folder, user.pw_uid, user.pw_gid)
        as_user = {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []}

    def run(program: str, *arguments: str) -> None:
        subprocess.run(
            [programs / program, "-D", data, *arguments],
            cwd=folder,
            env={"PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8"},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            check=True,
            timeout=STARTING_S,
            **as_user,
        )

    try:
        run("initdb", "-U", "tester", "-A", "trust", "-E", "UTF8", "--no-sync")
        options = f"-F -k {folder} -c listen_addresses=''"
        run("pg_ctl", "-w", "-o", options, "-l", str(folder / "log"), "start")
        try:
            yield folder
        finally:
            run("pg_ctl", "-w", "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _system_user() -> pwd.struct_passwd:
    for name in ("postgres", "nobody"):
        try:
            return pwd.getpwnam(name)
        except KeyError:
            continue
    return pwd.getpwuid(65534)
