"""Blueprints of the certificates: jobs, topics with weights, and the rules of each.

One file of ``content/blueprints`` per certificate. A topic's weight counts in
sixteenths, so that a form of sixteen scenarios hits every weight exactly.
"""

import hashlib
import json
from collections import Counter
from collections.abc import Iterator
from functools import cache
from typing import Self

from pydantic import ValidationError, model_validator

from academy.catalog import assessment, families, topics
from academy.catalog.evidence import Evidenced
from academy.catalog.families import Family
from academy.catalog.toml_files import Record, Twin, Words, path_of, read, read_folder
from academy.errors import AcademyError, ContentError

WHOLE = 16
"""Sixteenths that the weights of one certificate add up to."""
CONCEPTS = 10
"""Concepts of the safety gate that one certificate asks."""
TWO_WAY = ("go-or-stop",)
"""Kinds of part with two answers."""


class Task(Record):
    """What one does in the job, and what a mistake in it costs."""

    topic: Words
    does: Twin
    consequence: Twin


class Retake(Record):
    """Rules for another attempt: hours to wait, and the chance practice must show.

    From ``attempts`` failed ones on an instructor must agree.
    """

    wait_hours: Evidenced
    practice_chance: Evidenced
    attempts: Evidenced


class Blueprint(Record):
    """One certificate: what it covers, how it is weighed, how long it holds.

    ``weights`` in sixteenths by topic; ``repeats`` is how often one family may come up
    in a sitting; ``headers`` are the keys of the class named by ``header_class``.
    """

    order: int
    title: Twin
    scope: Twin
    jobs: tuple[Words, ...]
    crops: tuple[Words, ...]
    headers: tuple[Words, ...]
    header_class: Twin
    weights: dict[Words, int]
    tasks: tuple[Task, ...]
    concepts: tuple[Words, ...]
    sign_off: Words
    valid_days: Evidenced
    retake: Retake
    starting_credit: bool
    repeats: int

    @model_validator(mode="after")
    def _adds_up(self) -> Self:
        if sum(self.weights.values()) != WHOLE or min(self.weights.values()) < 1:
            raise ValueError(f"weights must be 1 or more and add up to {WHOLE}")
        if len(set(self.concepts)) != CONCEPTS or len(self.concepts) != CONCEPTS:
            raise ValueError(f"concepts must be {CONCEPTS} different ones")
        if {task.topic for task in self.tasks} != set(self.weights):
            raise ValueError("tasks must cover the weighed topics and no other")
        if self.repeats < 1:
            raise ValueError("repeats must be 1 or more")
        return self


@cache
def known() -> dict[str, Blueprint]:
    """All certificates by key, in the order of the lists; raises ContentError."""
    found = read_folder("blueprints", Blueprint)
    return dict(sorted(found.items(), key=lambda item: item[1].order))


@cache
def load(key: str) -> Blueprint:
    """Blueprint by key; raises NotFound, ContentError."""
    return read(Blueprint, path_of("blueprints", key))


@cache
def digest(key: str) -> str:
    """SHA-256 of the blueprint's canonical JSON: 64 hexadecimal digits."""
    return digest_of(load(key))


def digest_of(blueprint: Blueprint) -> str:
    """The digest of a blueprint that may be an older one."""
    plain = blueprint.model_dump(mode="json")
    text = json.dumps(plain, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def from_plain(plain: object) -> Blueprint:
    """A blueprint back from its plain JSON; raises ContentError for any other."""
    try:
        return Blueprint.model_validate_json(json.dumps(plain))
    except ValidationError as wrong:
        raise ContentError("broken_content", file="", field="", problem="") from wrong


def main_topic(family: Family) -> str:
    """The topic of most parts of a family; of equal ones the first asked."""
    return Counter(part.topic for part in family.parts).most_common(1)[0][0]


def tells_enough(family: Family) -> bool:
    """Whether at most half of its parts are calls between two.

    Luck alone gets such a part right every other time, so it tells little.
    """
    calls = sum(part.kind in TWO_WAY for part in family.parts)
    return 2 * calls <= len(family.parts)


def families_for(blueprint: Blueprint, topic: str) -> tuple[str, ...]:
    """Keys of the families that may fill a slot of ``topic``, in the lists' order."""
    return tuple(
        key
        for key, family in families.known().items()
        if family.assesses
        and tells_enough(family)
        and family.crop in blueprint.crops
        and set(family.headers) <= set(blueprint.headers)
        and main_topic(family) == topic
    )


def problems(key: str, blueprint: Blueprint) -> Iterator[AcademyError]:
    """What a blueprint names that is unknown, and topics it cannot ask.

    A topic comes up at most its share of the longest assessment, rounded up.
    """
    file, longest = f"blueprints/{key}", assessment.bar().most_scenarios
    for topic, weight in blueprint.weights.items():
        if topic not in topics.load():
            yield ContentError("unknown_topic", file=file, topic=topic)
            continue
        most = -(-weight * longest // WHOLE)
        if len(families_for(blueprint, topic)) * blueprint.repeats < most:
            yield ContentError("too_few_families", file=file, topic=topic)
