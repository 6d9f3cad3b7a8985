"""Answers typed into a question's form, as a browser sends them."""

import json
from collections.abc import Mapping
from typing import Any

from academy.catalog import demo_farm
from academy.language import Reader
from academy.records.queries.scenarios import Scenario
from academy.scenarios.dice import Dice
from academy.service import answering
from academy.service.simulated import Simulated
from academy.service.views import PartView, Question

Fields = dict[str, Any]


def typed(question: Question, answers: Mapping[int, Mapping[str, Any]]) -> Fields:
    """Fields of the form that give these answers, by the place of the part."""
    fields: Fields = {}
    for part in question.parts:
        fields |= _part(part, answers[part.index])
    return fields


def typed_rightly(found: Scenario) -> Fields:
    """Fields of the form that answer every part of an issued scenario rightly."""
    payload = json.loads(found.payload)
    expert = Simulated(demo_farm.load(), 1.0, "us", Dice("bench", found.id))
    shown = answering.view(found, payload, Reader("en", "us"))
    return typed(shown, expert.answers(payload))


def _part(part: PartView, answer: Mapping[str, Any]) -> Fields:
    name = f"part-{part.index}"
    if "controls" in answer:
        return {
            f"{name}-{control}": f"{value} {unit}"
            for control, (value, unit) in answer["controls"].items()
        }
    if "order" in answer:
        return {f"{name}-{key}": str(n) for n, key in enumerate(answer["order"], 1)}
    if "value" in answer:
        value, unit = answer["value"]
        return {name: f"{value} {unit}"}
    if "ticked" in answer:
        return {name: list(answer["ticked"])}
    return {name: answer.get("way", answer.get("choice", ""))}
