"""Choosing among faults by their signs: what two kinds of part share."""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import Any

from academy.catalog import faults, sources, troubles
from academy.catalog.families import Asked
from academy.catalog.faults import Fault
from academy.catalog.toml_files import Twin
from academy.catalog.troubles import Trouble
from academy.engine import ensemble
from academy.errors import NotUnderstood
from academy.grading import verdict
from academy.grading.choice import mark_choice
from academy.grading.mark import Mark
from academy.language import Reader, gettext, marked
from academy.scenarios import faulty, stubble, telling
from academy.scenarios.facts import Facts
from academy.scenarios.telling import Told
from academy.service.evidence_words import EVIDENCE
from academy.service.flow_explained import Flowing, flow_picture
from academy.service.problems import problem_of, rounded
from academy.service.reel_sections_explained import reel_sections_picture
from academy.service.signs_told import compared
from academy.service.views import HowRow, Picture
from academy.service.wings_explained import wings_picture

Part = Mapping[str, Any]
_OTHERWISE = marked("With “%(cause)s” one would see: %(shows)s")
_TRADE = marked("How the trade tells it: %(symptom)s.")


def judged(facts: Facts, place: int, names: Sequence[str]) -> Told | None:
    """The signs of the drawn fault, None when another could be taken for it."""
    key, *offered = facts[f"part.{place}"]
    problem = problem_of(facts, ())
    draws = ensemble.draw(
        problem.low,
        problem.values,
        problem.high,
        size=verdict.DRAWS,
        seed=verdict.DRAW_SEED,
    )
    aside = stubble.mirrored(facts, place)
    one = faulty.pass_of(facts)
    return telling.judge(key, offered, one, names, draws, aside)


def kept(asked: Asked, facts: Facts, place: int, told: Told) -> dict[str, Any]:
    """What is stored of a part whose fault can be told."""
    key, *offered = facts[f"part.{place}"]
    return {
        "offered": offered,
        "key": key,
        "names": asked.names,
        "mirrored": stubble.mirrored(facts, place),
        "flips": told.flips,
        "draw_seed": verdict.DRAW_SEED,
        "draws": verdict.DRAWS,
        "found": [rounded(each) for each in told.found],
        "in_order": [rounded(each) for each in told.in_order],
    }


def _named(fault: Fault, part: Part, language: str) -> str:
    twin = fault.cure if part.get("names") == "cure" else fault.cause
    return twin.for_language(language)


def options(part: Part, reader: Reader) -> tuple[tuple[str, str], ...]:
    """What is offered, as causes or as cures."""
    listed, language = faults.load(), reader.language
    return tuple((key, _named(listed[key], part, language)) for key in part["offered"])


def mark(part: Part, facts: Facts, answer: Mapping[str, Any]) -> Mark:
    """Right or wrong; raises NotUnderstood for what was never offered."""
    del facts
    if answer.get("choice") not in part["offered"]:
        raise NotUnderstood("choose_one")
    return mark_choice(answer["choice"], part["key"], wrong="wrong_choice")


# --- explained


def _pictures(part: Part, facts: Facts, reader: Reader, ids: str) -> list[Picture]:
    """The part of the header that is at fault, drawn in the state it is in."""
    key, aside = part["key"], part.get("mirrored", False)
    one = faulty.with_fault(faulty.pass_of(facts), key, aside)
    parts = {effect.sets.split(".")[1] for effect in faults.load()[key].does}
    if "flow" in parts or "belt_speed" in parts:
        met = Flowing(one.settings, one.state.flow, one.state.stand)
        return [flow_picture(facts, met, reader, f"{ids}-flow")]
    at, state = one.settings, one.state
    if "wings" in parts:
        return [wings_picture(facts, at, state.wings, reader, f"{ids}-wings")]
    if "reel_sections" in parts:
        arms = state.reel_sections
        return [reel_sections_picture(facts, at, arms, reader, f"{ids}-reel")]
    return []


def _advice(part: Part, chosen: str, reader: Reader) -> tuple[str, ...]:
    say, language = partial(gettext, language=reader.language), reader.language
    fault, other = faults.load()[part["key"]], faults.load()[chosen]
    said = [
        f"{fault.cause.for_language(language)}.",
        fault.shows.for_language(language),
        *(
            say(_TRADE) % {"symptom": trouble.symptom.for_language(language)}
            for trouble in troubles.of_fault(part["key"])
        ),
        fault.cure.for_language(language),
    ]
    if other is not fault:
        values = {
            "cause": other.cause.for_language(language),
            "shows": other.shows.for_language(language),
        }
        said.append(say(_OTHERWISE) % values)
    return tuple(said)


def _known(told: Fault | Trouble, named: Twin, href: str, reader: Reader) -> HowRow:
    language = reader.language
    return HowRow(
        named.for_language(language),
        told.cure.for_language(language),
        gettext(EVIDENCE[told.evidence], language),
        sources.load()[told.source].called(language),
        href,
    )


def _how(key: str, reader: Reader) -> Iterator[HowRow]:
    """The fault, then the trade's rows that it brings, on the page of all signs."""
    fault = faults.load()[key]
    yield _known(fault, fault.cause, f"/how/source/{fault.source}", reader)
    for name, trouble in troubles.load().items():
        if key in trouble.faults:
            yield _known(trouble, trouble.symptom, f"/signs#{name}", reader)


def explained(
    part: Part,
    facts: Facts,
    chosen: str,
    names: Sequence[str],
    reader: Reader,
    ids: str,
) -> dict[str, Any]:
    """The shown fields of the answered part: the fault's signs beside the chosen's."""
    listed, language = faults.load(), reader.language
    return {
        "yours": _named(listed[chosen], part, language),
        "best": _named(listed[part["key"]], part, language),
        "advice": _advice(part, chosen, reader),
        "pictures": tuple(_pictures(part, facts, reader, ids)),
        "tables": (compared(part, facts, chosen, names, reader),),
        "how": tuple(_how(part["key"], reader)),
    }
