"""How much memory a serving process keeps after it has shown some pages."""

import os
import re
import socket
import subprocess
import sys
from contextlib import suppress
from pathlib import Path
from time import monotonic, sleep
from urllib.error import URLError
from urllib.request import urlopen

from academy.web.benchmarks.measure import Measure

PAGES = ("/health", "/", "/field", "/how", "/glossary", "/sign-in")
_ROUNDS = 5
_LONGEST_START = 30.0


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _fetch(address: str) -> None:
    with urlopen(address, timeout=10) as answer:  # noqa: S310 - our own loopback
        answer.read()


def _wait_for(site: str) -> None:
    last = monotonic() + _LONGEST_START
    while monotonic() < last:
        with suppress(URLError, ConnectionError):
            return _fetch(f"{site}/health")
        sleep(0.1)
    raise RuntimeError("the site did not start")


def _resident(pid: int) -> float:
    """Megabytes of a process that stand in memory."""
    status = Path(f"/proc/{pid}/status").read_text(encoding="ascii", errors="replace")
    found = re.search(r"^VmRSS:\s+(\d+) kB", status, re.MULTILINE)
    return int(found[1]) * 1024 / 1e6 if found else float("nan")


def _end(serving: subprocess.Popen[bytes]) -> None:
    """End the site and wait for its child too, which ends by itself soon after."""
    task = Path(f"/proc/{serving.pid}/task/{serving.pid}/children")
    children = task.read_text(encoding="ascii").split() if task.exists() else []
    serving.terminate()
    serving.wait(timeout=_LONGEST_START)
    last = monotonic() + _LONGEST_START
    while monotonic() < last and any(Path(f"/proc/{one}").exists() for one in children):
        sleep(0.1)


def measure(instance: Path) -> list[Measure]:
    """Megabytes of ``academy serve`` on loopback; nothing where /proc is missing."""
    if not Path("/proc/self/status").exists():
        return []
    port = _free_port()
    (instance / "settings.toml").write_text(f"listen_port = {port}\n", "utf-8")
    command = [sys.executable, "-m", "academy", "serve"]
    serving = subprocess.Popen(  # noqa: S603 - our own program, nothing from outside
        command,
        env=os.environ | {"ACADEMY_INSTANCE": str(instance)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        site = f"http://127.0.0.1:{port}"
        _wait_for(site)
        for page in PAGES * _ROUNDS:
            _fetch(site + page)
        kept = _resident(serving.pid)
    finally:
        _end(serving)
    return [Measure("serving_memory", kept, "MB", most=200)]
