"""Settings of which only the direction is known: what one sees, and which way to go."""

from functools import cache
from typing import Literal

from academy.catalog.evidence import EvidenceClass
from academy.catalog.toml_files import Record, Twin, Words, path_of, read

Way = Literal["lower", "keep", "higher"]
WAYS: tuple[Way, ...] = ("lower", "keep", "higher")


class Sign(Record):
    """Something an operator sees, the way it calls for, why, and how that is known."""

    key: Words
    direction: Way
    text: Twin
    why: Twin
    evidence: EvidenceClass
    source: Words


class Direction(Record):
    """One setting of ``content/directions``: its name, its three ways, its signs.

    ``own_field``: its signs tell of a crop, an hour or a pass of their own, so they are
    asked of another field than the one of the question.
    """

    topic: Words
    name: Twin
    lower: Twin
    keep: Twin
    higher: Twin
    own_field: bool = False
    signs: tuple[Sign, ...]

    def sign(self, key: str) -> Sign:
        """The sign of that key; raises StopIteration for an unknown one."""
        return next(sign for sign in self.signs if sign.key == key)


@cache
def load(key: str) -> Direction:
    """Direction by the setting's name; raises NotFound, ContentError."""
    return read(Direction, path_of("directions", key))
