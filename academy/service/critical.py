"""Mistakes that can hurt or kill and that nobody has put right yet.

One of an assessment stands until whoever supervises has ticked that it was put right
face to face. One of practice, where the page itself explains it at once, stands until
the person gets that question all right, and for some days at most.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from academy.catalog import practice, topics
from academy.catalog.shelf import Catalog
from academy.records.connection import Connection
from academy.records.queries import critical
from academy.records.queries.critical import Fell
from academy.service import farm
from academy.service.assessment_state import GATE_STAGES

TALK_FIRST = "talk_first"


@dataclass(frozen=True, slots=True)
class OpenMiss:
    """One of them: topic, day, and the assessment where it can be ticked, if any."""

    topic: str
    day: date
    assessment_id: str


def open_misses(
    connection: Connection, people: Collection[str], now: datetime, *, going: bool
) -> Mapping[str, tuple[OpenMiss, ...]]:
    """The open ones of some people, newest first.

    ``going``: also those of a safety gate that still goes on, for who supervises.
    """
    since = now - timedelta(days=practice.load().talk_days)
    right = critical.put_right(connection, people, since)
    found: dict[str, list[OpenMiss]] = {}
    for one in reversed(critical.fell_short(connection, people, since)):
        if not _is_critical(one) or not _stands(one, going):
            continue
        later = right.get((one.person_id, one.family, one.position))
        if one.stage is None and later is not None and later > one.answered_at:
            continue
        day = farm.day_at(connection, one.answered_at)
        miss = OpenMiss(one.topic, day, one.assessment_id or "")
        known = found.setdefault(one.person_id, [])
        if miss not in known:
            known.append(miss)
    return {person_id: tuple(misses) for person_id, misses in found.items()}


def touched(misses: Collection[OpenMiss], catalog: Catalog) -> frozenset[str]:
    """Topics in which open misses hold somebody up: theirs, and all of safety."""
    if not misses:
        return frozenset()
    safety = {key for key, topic in catalog.topics.items() if topic.safety}
    return frozenset(safety | {one.topic for one in misses})


def topic_name(key: str, language: str) -> str:
    """A topic in words."""
    known = topics.load()
    return known[key].name.for_language(language) if key in known else key


def _is_critical(one: Fell) -> bool:
    if one.marks.get("critical_miss"):
        return True
    return one.stage in GATE_STAGES and one.kind != "order"


def _stands(one: Fell, going: bool) -> bool:
    if one.stage is None:
        return True
    if one.corrected_at or one.voided_at:
        return False
    if one.state == "running":
        return going and one.stage in GATE_STAGES
    return True
