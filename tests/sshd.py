"""Debian's own SSH server on loopback, with keys, port and forced command of its own.

    with Sshd("holdwater demo") as server, server.connect() as terminal:
        terminal.wait_for("Hold")

Nobody's configuration, keys or known hosts are read or changed.
"""

from __future__ import annotations

import getpass
import os
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path
from types import TracebackType
from typing import Final, Self

import pytest

from tests.processes import all_gone, marked
from tests.terminal import Terminal, surroundings

__all__ = ["Sshd"]

_SERVER: Final = shutil.which("sshd", path=f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin")
_PATIENCE: Final = 10.0
_SETTINGS: Final = """
ListenAddress 127.0.0.1
Port {port}
HostKey {folder}/host
PidFile none
AuthorizedKeysFile {folder}/user.pub
StrictModes no
UsePAM no
PasswordAuthentication no
KbdInteractiveAuthentication no
PermitRootLogin prohibit-password
DisableForwarding yes
PermitUserRC no
PrintMotd no
PrintLastLog no
Compression yes
ClientAliveInterval {alive}
ClientAliveCountMax 2
SetEnv {variables}
ForceCommand {command}
"""


class Sshd:
    """A server that runs one command for whoever comes with the key, and nothing else."""

    def __init__(
        self, command: str, *, alive: int = 15, env: Mapping[str, str] | None = None
    ) -> None:
        """`alive`: seconds between questions to a silent client; it is given up after two."""
        if _SERVER is None or shutil.which("ssh") is None:
            pytest.skip("no SSH server or client here: install openssh-server")
        self._server = _SERVER
        self._command = command
        self._alive = alive
        self._env = {name: surroundings()[name] for name in ("PATH", "PYTHONPATH", "LANG")}
        self._env |= env or {}

    def __enter__(self) -> Self:
        self.folder = Path(tempfile.mkdtemp(prefix="sshd-"))
        self.mark = f"BENCH_LINK={self.folder.name}"
        self.port = free_port()
        for name in ("host", "user"):
            make_key(self.folder / name)
        host = (self.folder / "host.pub").read_text()
        (self.folder / "known").write_text(f"[127.0.0.1]:{self.port} {host}")
        self._process = self._start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        """Server and all that it started have ended, killed if need be."""
        self._process.terminate()
        self._process.wait()
        for pid in marked(self.mark):
            os.kill(pid, signal.SIGKILL)
        shutil.rmtree(self.folder)

    def connect(self, *options: str, command: str | None = None) -> Terminal:
        """A client on a terminal of its own; what it asks to run must not matter."""
        return Terminal(*self.client(*options), *([command] if command else []))

    def client(self, *options: str) -> tuple[str, ...]:
        """The command line of a client that knows this server and its key."""
        settings = {
            "UserKnownHostsFile": self.folder / "known",
            "StrictHostKeyChecking": "yes",
            "IdentityFile": self.folder / "user",
            "IdentitiesOnly": "yes",
            "EscapeChar": "none",
        }
        given = [text for name, value in settings.items() for text in ("-o", f"{name}={value}")]
        who = f"{getpass.getuser()}@127.0.0.1"
        return ("ssh", "-F", "none", "-tt", "-p", str(self.port), *given, *options, who)

    def running(self) -> set[int]:
        """Processes of the forced command, whoever their parent is now."""
        return marked(self.mark)

    def all_gone(self, timeout: float = _PATIENCE) -> bool:
        """Nothing is left of the forced command, at the latest after the timeout."""
        return all_gone(self.mark, timeout)

    def _start(self) -> subprocess.Popen[bytes]:
        if os.geteuid() == 0:
            Path("/run/sshd").mkdir(mode=0o755, exist_ok=True)  # it will not start as root without
        variables = [self.mark, *(f"{name}={value}" for name, value in self._env.items())]
        settings = self.folder / "settings"
        settings.write_text(
            _SETTINGS.format(
                folder=self.folder,
                port=self.port,
                alive=self._alive,
                command=self._command,
                variables=" ".join(f'"{each}"' for each in variables),
            )
        )
        # Into a file: a pipe that nobody reads would hold up the server once it is full.
        log = self.folder / "log"
        process = subprocess.Popen([self._server, "-D", "-E", str(log), "-f", str(settings)])
        wait_until_listening(process, log)
        return process


def wait_until_listening(process: subprocess.Popen[bytes], log: Path) -> None:
    """The server has said that it listens; else AssertionError with what it said."""
    until = time.monotonic() + _PATIENCE
    while "Server listening" not in (said := log.read_text() if log.exists() else ""):
        waiting = process.poll() is None and time.monotonic() < until
        assert waiting, f"the server did not come up: {said}"


def make_key(path: Path) -> None:
    command = ["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C", "bench", "-f", str(path)]
    subprocess.run(command, check=True, stdin=subprocess.DEVNULL)


def free_port() -> int:
    """A loopback port that nobody listened on a moment ago."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port
