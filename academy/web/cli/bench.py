"""``academy bench``: how fast this machine makes, serves and marks scenarios."""

from argparse import ArgumentParser, Namespace

from academy.language import marked
from academy.web.benchmarks.run import lines
from academy.web.benchmarks.run import run as measure
from academy.web.cli.out import Say, json_flag, put_json

ABOUT = marked("measure how fast this computer makes and serves scenarios")


def arguments(one: ArgumentParser, say_: Say) -> None:
    """``--json``."""
    json_flag(one, say_(marked("print the measurements as JSON")))


def run(asked: Namespace) -> int:
    """Measure and print."""
    found = measure()
    if asked.json:
        put_json(found)
    else:
        print("\n".join(lines(found)))
    return 0
