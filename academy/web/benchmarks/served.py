"""A real ``academy serve`` on loopback, for as long as something is measured on it."""

import os
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from time import monotonic, sleep
from urllib.error import URLError
from urllib.request import urlopen

LONGEST_START = 30.0


@dataclass(frozen=True)
class Served:
    """A site that answers: its port and its process."""

    port: int
    pid: int

    @property
    def site(self) -> str:
        """The address without a closing slash."""
        return f"http://127.0.0.1:{self.port}"


@contextmanager
def served(instance: Path) -> Iterator[Served]:
    """Serve an instance folder, whose settings name a free port from now on."""
    port = _free_port()
    (instance / "settings.toml").write_text(f"listen_port = {port}\n", "utf-8")
    serving = subprocess.Popen(
        [sys.executable, "-m", "academy", "serve"],
        env=os.environ | {"ACADEMY_INSTANCE": str(instance)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    made = Served(port, serving.pid)
    try:
        _wait_for(made.site)
        yield made
    finally:
        _end(serving)


def fetch(address: str) -> None:
    """Read a page to its end."""
    with urlopen(address, timeout=10) as answer:  # noqa: S310 - our own loopback
        answer.read()


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _wait_for(site: str) -> None:
    last = monotonic() + LONGEST_START
    while monotonic() < last:
        with suppress(URLError, ConnectionError):
            return fetch(f"{site}/health")
        sleep(0.1)
    raise RuntimeError("the site did not start")


def _end(serving: subprocess.Popen[bytes]) -> None:
    """End the site and wait for its child too, which ends by itself soon after."""
    task = Path(f"/proc/{serving.pid}/task/{serving.pid}/children")
    children = task.read_text(encoding="ascii").split() if task.exists() else []
    serving.terminate()
    serving.wait(timeout=LONGEST_START)
    last = monotonic() + LONGEST_START
    while monotonic() < last and any(Path(f"/proc/{one}").exists() for one in children):
        sleep(0.1)
