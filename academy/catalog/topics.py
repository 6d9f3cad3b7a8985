"""The topics a person can be competent in, as ``content/topics`` lists them."""

from functools import cache
from typing import Literal

from academy.catalog.toml_files import Record, Twin, read_folder


class Topic(Record):
    """One topic: its place in lists, its name and how fast the skill fades.

    ``safety`` marks the topics where a mistake can hurt somebody at once.
    """

    order: int
    memory: Literal["accuracy", "mixed", "speed"]
    name: Twin
    safety: bool = False


@cache
def load() -> dict[str, Topic]:
    """Topics by key, in the order of the lists."""
    found = read_folder("topics", Topic)
    return dict(sorted(found.items(), key=lambda item: item[1].order))
