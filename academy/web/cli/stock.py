"""``academy stock``: makes scenarios beforehand; ``serve`` runs it as its child."""

import os
import subprocess
import sys
import threading
from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from contextlib import contextmanager

from academy.language import marked
from academy.service import stock
from academy.service.house import House
from academy.web.cli.out import Say

ABOUT = marked("keep the shelf of scenarios filled (serve does this by itself)")


def arguments(one: ArgumentParser, say_: Say) -> None:
    """``--with-parent``."""
    one.add_argument(
        "--with-parent",
        action="store_true",
        help=say_(marked("end when standard input closes")),
    )


def run(asked: Namespace) -> int:
    """Fill the shelf until ended."""
    if hasattr(os, "nice"):
        os.nice(10)  # people's requests go first
    if asked.with_parent:
        threading.Thread(target=_end_with_parent, daemon=True).start()
    try:
        stock.run_forever()
    except KeyboardInterrupt:
        return 0
    return 0


def _end_with_parent() -> None:
    """Leave at once when the parent is gone; half-made scenarios are not kept."""
    sys.stdin.buffer.read()
    os._exit(0)


@contextmanager
def filler(house: House) -> Iterator[None]:
    """The child process that fills the shelf of ``house`` for as long as this lasts."""
    child = subprocess.Popen(
        [sys.executable, "-m", "academy", "stock", "--with-parent"],
        stdin=subprocess.PIPE,
        env=os.environ | {"ACADEMY_INSTANCE": str(house.instance)},
    )
    try:
        yield
    finally:
        child.terminate()
        child.wait()
