"""Find the cause: the engine runs a header with one fault; its signs name it."""

from collections.abc import Mapping
from typing import Any

from academy.catalog import borderline, signs
from academy.catalog.families import Asked
from academy.grading import options
from academy.grading.mark import Mark
from academy.language import Reader
from academy.records.queries.answers import Answer
from academy.scenarios.facts import Facts
from academy.service import signs_told, told_apart
from academy.service.problems import Made, rounded


def made(asked: Asked, facts: Facts, place: int) -> Made | None:
    """The part, or None when its signs could be taken for another fault's."""
    told = told_apart.judged(facts, place, signs.of_groups(asked.evidence))
    if told is None or told.flips > options.MOST_FLIPS:
        return None
    stored = told_apart.kept(asked, facts, place, told)
    stored["evidence"] = list(asked.evidence)
    par = borderline.load().par_of(asked.kind)
    return Made(stored, par, rounded(1 / len(stored["offered"])))


def asked(part: Mapping[str, Any], facts: Facts, reader: Reader) -> dict[str, Any]:
    """The shown fields of the part."""
    return {
        "tables": signs_told.tables(part, facts, reader),
        "options": told_apart.options(part, reader),
    }


def mark(part: Mapping[str, Any], facts: Facts, answer: Mapping[str, Any]) -> Mark:
    """Right or wrong; raises NotUnderstood for what was never offered."""
    return told_apart.mark(part, facts, answer)


def explained(
    part: Mapping[str, Any], facts: Facts, kept: Answer, reader: Reader, ids: str
) -> dict[str, Any]:
    """The shown fields of the answered part."""
    names = signs.of_groups(tuple(part["evidence"]))
    chosen = kept.answer["choice"]
    return told_apart.explained(part, facts, chosen, names, reader, ids)
