"""Go or stop: a situation near the machine, and the call it needs."""

from collections.abc import Mapping
from typing import Any

from academy.catalog import borderline, situations, sources
from academy.catalog.families import Asked
from academy.catalog.situations import CALLS
from academy.errors import NotUnderstood
from academy.grading.choice import mark_choice
from academy.grading.mark import Mark
from academy.language import Reader, gettext
from academy.records.queries.answers import Answer
from academy.scenarios.facts import Facts
from academy.service.evidence_words import EVIDENCE
from academy.service.problems import Made
from academy.service.views import HowRow


def made(asked: Asked, facts: Facts, place: int) -> Made:
    """The part; the key is a rule."""
    case = situations.load(asked.situation).case(facts[f"part.{place}"])
    key: dict[str, Any] = {"situation": asked.situation, "case": case.key}
    key |= {"key": case.call, "critical": case.critical}
    return Made(key, borderline.load().par_of(asked.kind), 1 / len(CALLS))


def asked(part: Mapping[str, Any], facts: Facts, reader: Reader) -> dict[str, Any]:
    """The shown fields of the part."""
    del facts
    pool = situations.load(part["situation"])
    return {
        "sign": pool.case(part["case"]).text.for_language(reader.language),
        "options": (
            ("go", pool.go.for_language(reader.language)),
            ("stop", pool.stop.for_language(reader.language)),
        ),
    }


def mark(part: Mapping[str, Any], facts: Facts, answer: Mapping[str, Any]) -> Mark:
    """Right or wrong; going on where a source says stop is a critical miss."""
    del facts
    if answer.get("choice") not in CALLS:
        raise NotUnderstood("choose_one")
    if part["critical"] and answer["choice"] == "go":
        detail = {"key": part["key"]}
        return Mark(0.0, "went_on", critical_miss=True, detail=detail)
    return mark_choice(answer["choice"], part["key"], wrong="wrong_choice")


def explained(
    part: Mapping[str, Any], facts: Facts, kept: Answer, reader: Reader, ids: str
) -> dict[str, Any]:
    """The shown fields of the answered part."""
    del facts, ids
    language = reader.language
    pool = situations.load(part["situation"])
    case = pool.case(part["case"])
    calls = {"go": pool.go, "stop": pool.stop}
    return {
        "yours": calls[kept.answer["choice"]].for_language(language),
        "best": calls[part["key"]].for_language(language),
        "advice": (case.text.for_language(language), case.why.for_language(language)),
        "how": (
            HowRow(
                calls[part["key"]].for_language(language),
                case.why.for_language(language),
                gettext(EVIDENCE[case.evidence], language),
                sources.load()[case.source].called(language),
                f"/how/source/{case.source}",
            ),
        ),
    }
