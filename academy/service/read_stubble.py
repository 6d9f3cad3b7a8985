"""Read the stubble: the engine draws what a fault leaves behind; name the cause."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from academy import units
from academy.catalog import borderline, faults, sources
from academy.catalog.families import Asked
from academy.drawing.stubble_across import StubbleView, stubble_across
from academy.errors import NotUnderstood
from academy.grading import options, verdict
from academy.grading.choice import mark_choice
from academy.grading.mark import Mark
from academy.language import Reader, gettext, marked, unit_word
from academy.records.queries.answers import Answer
from academy.scenarios import conditions, stubble
from academy.scenarios.dice import Dice
from academy.scenarios.facts import Facts, canonical
from academy.service.evidence_words import EVIDENCE
from academy.service.pictures import picture
from academy.service.problems import Made, problem_of, rounded
from academy.service.views import HowRow, Picture


def made(asked: Asked, facts: Facts, place: int) -> Made | None:
    """The part, or None when the picture could be taken for another fault's."""
    key, *offered = facts[f"part.{place}"]
    problem = problem_of(facts, ())
    one = stubble.Pass(problem.field, problem.machine, problem.as_found, problem.values)
    flips = stubble.flips(key, offered, one, verdict.draws_of(problem))
    if flips is None or flips > options.MOST_FLIPS:
        return None
    luck = Dice("stubble", place, canonical(facts))
    drawn = stubble.trace(stubble.FAULTS[key](one), luck)
    stored = {"offered": offered, "key": key, "flips": flips, "trace": asdict(drawn)}
    par = borderline.load().par_of(asked.kind)
    return Made(stored, par, rounded(1 / len(offered)))


def _words(reader: Reader, height: str, width: str) -> dict[str, str]:
    said = {
        "title": marked("Stubble across the width, seen from behind"),
        "description": marked(
            "Height of the stubble at every place from the left end to the right."
        ),
        "x": marked("from the left end"),
        "y": marked("stubble height"),
        "place": marked("From the left"),
        "mean": marked("Mean height"),
        "range": marked("Lowest to highest"),
        "seen": marked("What else one sees"),
        "cut": marked("cut stems"),
        "ragged": marked("ragged, pulled stems"),
        "standing": marked("stems left standing"),
        "soil": marked("scraped soil"),
        "nothing": marked("nothing"),
    }
    words = {key: gettext(text, reader.language) for key, text in said.items()}
    high, wide = (unit_word(label, reader.language) for label in (height, width))
    for key, unit in (("x", wide), ("place", wide), ("y", high), ("mean", high)):
        words[key] = f"{words[key]} ({unit})"
    return words


def stubble_picture(
    part: Mapping[str, Any], facts: Facts, reader: Reader, ids: str
) -> Picture:
    """The drawn stubble with its table; neither names the fault."""
    height, decimals = units.KINDS["short_length"].shown(reader.units)
    width, _ = units.KINDS["length"].shown(reader.units)
    trace = dict(part["trace"])
    trace["heights"] = [float(units.from_si(each, height)) for each in trace["heights"]]
    whole = float(conditions.machine_of(facts).width)
    view = StubbleView(width=float(units.from_si(whole, width)), **trace)
    words = _words(reader, height, width)
    drawn = stubble_across(view, words, decimals, f"{ids}-stubble")
    return picture(drawn, words["title"])


def asked(part: Mapping[str, Any], facts: Facts, reader: Reader) -> dict[str, Any]:
    """The shown fields of the part."""
    listed = faults.load()
    return {
        "picture": stubble_picture(part, facts, reader, "asked"),
        "options": tuple(
            (key, listed[key].cause.for_language(reader.language))
            for key in part["offered"]
        ),
    }


def mark(part: Mapping[str, Any], facts: Facts, answer: Mapping[str, Any]) -> Mark:
    """Right or wrong; raises NotUnderstood for what was never offered."""
    del facts
    if answer.get("choice") not in part["offered"]:
        raise NotUnderstood("choose_one")
    return mark_choice(answer["choice"], part["key"], wrong="wrong_choice")


def explained(
    part: Mapping[str, Any], facts: Facts, kept: Answer, reader: Reader, ids: str
) -> dict[str, Any]:
    """The shown fields of the answered part."""
    language, listed = reader.language, faults.load()
    chosen, fault = listed[kept.answer["choice"]], listed[part["key"]]
    shows = [fault.shows.for_language(language), fault.cure.for_language(language)]
    if chosen is not fault:
        other = marked("%(cause)s would show otherwise: %(shows)s")
        values = {
            "cause": chosen.cause.for_language(language),
            "shows": chosen.shows.for_language(language),
        }
        shows.append(gettext(other, language) % values)
    return {
        "yours": chosen.cause.for_language(language),
        "best": fault.cause.for_language(language),
        "advice": tuple(shows),
        "pictures": (stubble_picture(part, facts, reader, ids),),
        "how": (
            HowRow(
                fault.cause.for_language(language),
                fault.cure.for_language(language),
                gettext(EVIDENCE[fault.evidence], language),
                sources.load()[fault.source].called(language),
                f"/how/source/{fault.source}",
            ),
        ),
    }
