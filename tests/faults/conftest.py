"""What the tests of faults share: a bench terminal, a test left in its hold, a quick folder."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.conducting import conduct
from tests.terminal import ROOT, Terminal

CONFIGURATION = ROOT / "tui" / "bench.conf"


class Bench:
    """The bench terminal around a program, reached by clients and asked from outside."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.env = {"TMUX_TMPDIR": str(folder), "SHELL": "/bin/sh"}

    def command(self, program: str) -> list[str]:
        """The command of a client: attach, or start the program if nothing runs."""
        client = ["tmux", "-L", "bench", "-f", str(CONFIGURATION)]
        return [*client, "new", "-A", "-s", "bench", f"exec {program}"]

    def connect(self, program: str) -> Terminal:
        return Terminal(*self.command(program), env={**self.env, "PATH": self.path})

    def ask(self, *question: str) -> str:
        """What tmux answers from outside, where there is a shell; nothing when it is gone."""
        return subprocess.run(
            ["tmux", "-L", "bench", *question],
            env={**os.environ, **self.env, "PATH": self.path},
            capture_output=True,
            text=True,
            check=False,
        ).stdout

    def programs(self) -> list[str]:
        """Every process that tmux runs, by number."""
        return self.ask("list-panes", "-a", "-F", "#{pane_pid}").split()

    @property
    def path(self) -> str:
        """Programs laid into the folder are found before all others."""
        return f"{self.folder}{os.pathsep}{os.environ['PATH']}"


@contextmanager
def bench_terminal() -> Iterator[Bench]:
    """A bench terminal with nothing in it yet; at the end, all that ran in it has ended."""
    folder = Path(tempfile.mkdtemp(prefix="bench-"))  # a socket's path may not be long
    own = Bench(folder)
    try:
        yield own
    finally:
        own.ask("kill-server")
        shutil.rmtree(folder)


@pytest.fixture
def bench() -> Iterator[Bench]:
    """A bench terminal for one test."""
    if shutil.which("tmux") is None:
        pytest.skip("no tmux here, so nothing is known of the bench terminal")
    with bench_terminal() as own:
        yield own


@pytest.fixture(scope="session")
def conducted(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with one test, conducted by keys from its plan file into the hold, and then left."""
    return conduct(tmp_path_factory.mktemp("conducted"))


@pytest.fixture
def store(conducted: Path, tmp_path: Path) -> Path:
    """That store, for one test to go on with."""
    return Path(shutil.copytree(conducted, tmp_path / "store"))


@pytest.fixture
def memory(tmp_path: Path) -> Iterator[Path]:
    """A folder in memory where there is such a thing: what is tried is the order of the calls.

    On a disk, some file systems wait for it at every rename, thousands of times here.
    """
    shared = Path("/dev/shm")
    place = shared if shared.is_dir() and os.access(shared, os.W_OK) else tmp_path
    with tempfile.TemporaryDirectory(dir=place) as folder:
        yield Path(folder)
