"""Inspection: measured and seen findings; which must be put right before starting."""

from collections.abc import Mapping
from typing import Any

from academy import units
from academy.catalog import borderline, sources, topics, walk_round
from academy.catalog.families import Asked
from academy.catalog.walk_round import Finding
from academy.errors import NotUnderstood
from academy.grading.mark import Mark
from academy.grading.ticking import chance_floor, mark_ticks
from academy.language import Reader, gettext, marked, show
from academy.records.queries.answers import Answer
from academy.scenarios.facts import Facts
from academy.service.evidence_words import EVIDENCE
from academy.service.problems import Made, rounded
from academy.service.views import HowRow, Table

_BAD, _GOOD = marked("put right before starting"), marked("in order")
_NOTHING = marked("nothing")


def made(asked: Asked, facts: Facts, place: int) -> Made:
    """The part; the key is a rule, so nothing about it is in doubt."""
    rows = facts[f"part.{place}"]
    bad = [key for key, state, *_ in rows if state == "bad"]
    good = [key for key, state, *_ in rows if state == "good"]
    listed = walk_round.load()
    key = {"shown": rows, "bad": bad, "good": good}
    key["critical"] = [each for each in bad if listed[each].critical]
    floor = chance_floor(len(bad), len(good))
    return Made(key, borderline.load().par_of(asked.kind), rounded(floor))


def _reads(finding: Finding, state: str, value: Any, unit: str, reader: Reader) -> str:
    if finding.kind:
        return show(float(units.to_si(float(value), unit)), finding.kind, reader)
    words = finding.faulty if state == "bad" else finding.fine
    return "" if words is None else words.for_language(reader.language)


def _findings(
    part: Mapping[str, Any], reader: Reader
) -> tuple[tuple[str, str, str], ...]:
    listed = walk_round.load()
    return tuple(
        (
            key,
            listed[key].name.for_language(reader.language),
            _reads(listed[key], state, value, unit, reader),
        )
        for key, state, value, unit in part["shown"]
    )


def asked(part: Mapping[str, Any], facts: Facts, reader: Reader) -> dict[str, Any]:
    """The shown fields of the part."""
    del facts
    return {"findings": _findings(part, reader)}


def mark(part: Mapping[str, Any], facts: Facts, answer: Mapping[str, Any]) -> Mark:
    """Hits less false ticks; raises NotUnderstood for what was never shown."""
    del facts
    ticked = list(answer.get("ticked", []))
    if set(ticked) - {key for key, *_ in part["shown"]}:
        raise NotUnderstood("choose_one")
    return mark_ticks(ticked, part["bad"], part["good"], part["critical"])


def _table(part: Mapping[str, Any], ticked: list[str], reader: Reader) -> Table:
    language = reader.language
    tick = gettext(marked("ticked"), language)
    rows = tuple(
        (
            name,
            reads,
            tick if key in ticked else "–",
            gettext(_BAD if key in part["bad"] else _GOOD, language),
        )
        for key, name, reads in _findings(part, reader)
    )
    words = (marked("Finding"), marked("Reads"), marked("You"), marked("Right"))
    head = tuple(gettext(word, language) for word in words)
    topic = topics.load()[part["topic"]].name.for_language(language)
    caption = gettext(marked("The walk-round, one by one"), language)
    return Table(f"{caption}: {topic}", head, rows)  # a page may hold two of them


def _names(keys: list[str], reader: Reader) -> str:
    listed = walk_round.load()
    names = [listed[key].name.for_language(reader.language) for key in keys]
    return "; ".join(names) or gettext(_NOTHING, reader.language)


def _rule(key: str, reader: Reader) -> str:
    return walk_round.load()[key].rule.for_language(reader.language)


def explained(
    part: Mapping[str, Any], facts: Facts, kept: Answer, reader: Reader, ids: str
) -> dict[str, Any]:
    """The shown fields of the answered part."""
    del facts, ids
    language, listed = reader.language, walk_round.load()
    ticked = list(kept.answer["ticked"])
    detail = kept.marks["detail"]
    wrong = [*detail["missed"], *detail["false"]]
    return {
        "yours": _names([key for key, *_ in part["shown"] if key in ticked], reader),
        "best": _names(part["bad"], reader),
        "advice": tuple(
            f"{_names([key], reader)}: {_rule(key, reader)}" for key in wrong
        ),
        "tables": (_table(part, ticked, reader),),
        "how": tuple(
            HowRow(
                listed[key].name.for_language(language),
                _rule(key, reader),
                gettext(EVIDENCE[listed[key].evidence], language),
                sources.load()[listed[key].source].called(language),
                f"/how/source/{listed[key].source}",
            )
            for key, *_ in part["shown"]
        ),
    }
