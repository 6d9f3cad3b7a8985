"""How much memory a serving process keeps after it has shown some pages."""

import re
from pathlib import Path

from academy.web.benchmarks.measure import Measure
from academy.web.benchmarks.served import fetch, served

PAGES = ("/health", "/", "/field", "/how", "/glossary", "/sign-in")
_ROUNDS = 5


def _resident(pid: int) -> float:
    """Megabytes of a process that stand in memory."""
    status = Path(f"/proc/{pid}/status").read_text(encoding="ascii", errors="replace")
    found = re.search(r"^VmRSS:\s+(\d+) kB", status, re.MULTILINE)
    return int(found[1]) * 1024 / 1e6 if found else float("nan")


def measure(instance: Path) -> list[Measure]:
    """Megabytes of ``academy serve`` on loopback; nothing where /proc is missing."""
    if not Path("/proc/self/status").exists():
        return []
    with served(instance) as serving:
        for page in PAGES * _ROUNDS:
            fetch(serving.site + page)
        kept = _resident(serving.pid)
    return [Measure("serving_memory", kept, "MB", most=200)]
