"""Help answers at once, and its examples run."""

import http.client
import re
import shlex
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import IO

import pytest
from typer import BadParameter
from typer.core import TyperGroup
from typer.main import get_command

from beadcheck.cli import app

from .conftest import COMMAND

NAMES = tuple(command.name or command.callback.__name__ for command in app.registered_commands)
GROUPS = tuple(group.typer_instance.info.name for group in app.registered_groups)
HEAVY = (
    "sqlalchemy",
    "alembic",
    "cv2",
    "gradio",
    "numpy",
    "scipy",
    "skimage",
    "rich",
    "pydantic",
    "matplotlib",
    "PIL",
)


def test_the_command_loads_nothing_heavy_before_it_runs():
    code = (
        "import sys, beadcheck, beadcheck.cli;"
        f"print([name for name in {HEAVY!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert done.stdout.strip() == "[]"


def test_help_names_every_command_and_the_version_is_that_of_the_package(run):
    done = run("--help")
    assert done.returncode == 0
    assert all(f"\n  {command} " in done.stdout for command in (*NAMES, *GROUPS))
    assert "qualified inspector" in done.stdout
    assert run().stdout == done.stdout
    assert run("--version").stdout.startswith("beadcheck 0.")


def examples_of(run, *command: str) -> list[list[str]]:
    """Command lines under the heading "Example" of a help text."""
    done = run(*command, "--help")
    assert done.returncode == 0
    _, found, after = done.stdout.partition("Example")
    assert found, done.stdout
    lines = [line.strip() for line in after.splitlines()[1:] if line.strip()]
    return [shlex.split(line) for line in lines]


@pytest.mark.parametrize("command", [(), *((name,) for name in NAMES if name != "page")])
def test_every_example_of_the_help_runs(run, tmp_path, samples, command):
    (tmp_path / "samples").symlink_to(samples)
    examples = examples_of(run, *command)
    assert examples
    for program, *arguments in examples:
        assert program == "beadcheck"
        done = run(*arguments)
        assert done.returncode == 0, done.stderr
        assert done.stdout


README = Path(__file__).parents[2] / "README.md"


def test_every_command_in_the_readme_names_commands_and_flags_that_there_are():
    text = README.read_text("utf-8")
    names = "|".join((*NAMES, *GROUPS))
    shown = re.findall(rf"^ *(?:.* && )?beadcheck ((?:{names}) .*)$", text, re.MULTILINE)
    shown += re.findall(rf"`beadcheck ((?:{names})[^`]*)`", text)
    assert len(shown) > 25
    for line in shown:
        parsed(shlex.split(line, comments=True))
    with pytest.raises(BadParameter.__base__, match="--no-such-flag"):
        parsed(["measure", "photo.jpg", "--no-such-flag"])


def parsed(arguments: list[str]) -> None:
    """Read the flags of a command line as the command does, without running it."""
    command = get_command(app)
    while isinstance(command, TyperGroup) and arguments:
        _, command, arguments = command.resolve_command(command.context_class(command), arguments)
    command.make_parser(command.context_class(command)).parse_args(arguments)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@pytest.mark.usefixtures("heeded_interrupts")
def test_each_example_of_the_page_serves_it_until_it_is_stopped(run, tmp_path):
    alone, on_the_network = (
        served(example, tmp_path, until=last)
        for example, last in zip(examples_of(run, "page"), ("Ctrl-C", "log"), strict=True)
    )
    assert "code" not in alone
    assert "Class code:        harrow-42" in on_the_network
    assert "The connection is not encrypted" in on_the_network


def served(example: list[str], folder: Path, *, until: str) -> str:
    """Run an example of the page until it answers and told a word, and return all it told."""
    program, *arguments = example
    assert program == "beadcheck"
    port = free_port()
    # The port that the example names may be taken on this machine.
    arguments[arguments.index("--port") + 1] = str(port)
    with subprocess.Popen(
        [COMMAND, *arguments], cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        try:
            body = answer_of(port, process)
            lines = list(iter_until(process.stdout, until.encode()))
        finally:
            process.send_signal(signal.SIGINT)
            try:
                told, said = process.communicate(timeout=30)
            except subprocess.TimeoutExpired:
                process.kill()
                raise
    assert b"<html" in body.lower()
    assert b"Traceback" not in said
    assert process.returncode in (0, 130)
    return b"".join([*lines, told]).decode()


def iter_until(stream: IO[bytes], word: bytes) -> Iterator[bytes]:
    """Lines up to the one that holds a word, or to the end."""
    for line in stream:
        yield line
        if word in line:
            return


def answer_of(port: int, process: subprocess.Popen) -> bytes:
    """What a page answers, once it does; three minutes are far more than it takes."""
    deadline = time.monotonic() + 180.0
    while process.poll() is None and time.monotonic() < deadline:
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=5.0)
        try:
            connection.request("GET", "/")
            return connection.getresponse().read()
        except OSError:
            time.sleep(0.2)
        finally:
            connection.close()
    raise AssertionError(port)
