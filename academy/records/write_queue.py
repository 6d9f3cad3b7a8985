"""A queue for writers: whoever holds the lock on a file writes, the rest wait."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

if sys.platform == "win32":
    import msvcrt

    def _take(handle: int) -> None:
        while True:
            try:
                return msvcrt.locking(handle, msvcrt.LK_LOCK, 1)
            except OSError:  # ten seconds went by; stay in the queue
                continue

    def _leave(handle: int) -> None:
        msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)
else:
    import fcntl

    def _take(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX)

    def _leave(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_UN)


@contextmanager
def queued(path: Path) -> Iterator[None]:
    """Wait for the lock on ``path``, hold it, and leave it even when something fails.

    A process that dies leaves the queue by dying.
    """
    with path.open("ab") as file:
        _take(file.fileno())
        try:
            yield
        finally:
            _leave(file.fileno())
