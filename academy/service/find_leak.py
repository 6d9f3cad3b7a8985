"""Find the leak: counts at three places tell where most of the grain is lost."""

from collections.abc import Mapping
from typing import Any

from academy.catalog import borderline, crops, sources
from academy.catalog.families import Asked
from academy.errors import NotUnderstood
from academy.grading.choice import mark_choice
from academy.grading.mark import Mark
from academy.language import Reader, gettext, marked, number, show
from academy.records.queries.answers import Answer
from academy.scenarios import counted
from academy.scenarios.conditions import field_of
from academy.scenarios.dice import Dice
from academy.scenarios.facts import Facts, bushel, canonical
from academy.service.evidence_words import EVIDENCE
from academy.service.problems import Made, rounded
from academy.service.views import HowRow, Table

PLACES = {
    "before": marked("On the ground before the harvest"),
    "header": marked("At the header"),
    "behind": marked("Behind the combine"),
    "nowhere": marked("Nowhere: all of it is within what is acceptable"),
}
_OFFERED = {  # as long as each other, so that length tells nothing
    "before": marked("On the ground before the harvest"),
    "header": marked("At the header, by knife and reel"),
    "behind": marked("Behind the combine, in the chaff"),
    "nowhere": marked("Nowhere: the total is acceptable"),
}
_CLEAR = 1.5  # the worst place must lose this many times the next; and the total clear
_SUMS = (
    marked("Before the harvest: the count on ground not yet cut."),
    marked(
        "At the header: the count where only the header passed, less the one before."
    ),
    marked(
        "Behind the combine: the count there less the one at the header, divided by"
        " the cut width over the discharge width, because the heap lies on a strip."
    ),
)
_WHEAT_SOURCE, _BEAN_SOURCE = "smallgrains-2003", "staton-2012"


def _key(facts: Facts) -> str | None:
    """Where it leaks; None when no place stands out or the total is near the line."""
    lost = dict(zip(("before", "header", "behind"), counted.losses(facts), strict=True))
    accepted = crops.load(facts["crop"]).targets.total.si()[1]
    share = sum(lost.values()) / (float(field_of(facts).crop_yield) * accepted)
    if 1 / _CLEAR < share < _CLEAR:
        return None
    if share < 1:
        return "nowhere"
    worst, second, _ = sorted(lost, key=lost.__getitem__, reverse=True)
    return worst if lost[worst] >= _CLEAR * lost[second] else None


def made(asked: Asked, facts: Facts, place: int) -> Made | None:
    """The part; everything is printed, so the key has no doubt but must stand out."""
    key = _key(facts)
    if key is None:
        return None
    lost = [rounded(each) for each in counted.losses(facts)]
    dice = Dice("find-the-leak", canonical(facts), place)
    stored = {"key": key, "lost": lost, "shown": dice.shuffled(tuple(PLACES))}
    return Made(stored, borderline.load().par_of(asked.kind), 1 / len(PLACES))


def asked(part: Mapping[str, Any], facts: Facts, reader: Reader) -> dict[str, Any]:
    """The shown fields of the part."""
    del facts
    listed = part.get("shown", PLACES)  # parts of old were asked in the listed order
    say = {key: gettext(_OFFERED[key], reader.language) for key in listed}
    return {"options": tuple(say.items())}


def mark(part: Mapping[str, Any], facts: Facts, answer: Mapping[str, Any]) -> Mark:
    """Right or wrong; raises NotUnderstood for what was never offered."""
    del facts
    if answer.get("choice") not in PLACES:
        raise NotUnderstood("choose_one")
    return mark_choice(answer["choice"], part["key"], wrong="wrong_choice")


def _split(part: Mapping[str, Any], facts: Facts, reader: Reader) -> Table:
    language = reader.language
    grown = float(field_of(facts).crop_yield)
    rows = [
        (
            gettext(PLACES[key], language),
            show(lost, "loss_mass", reader, bushel(facts)),
            f"{number(100 * lost / grown, 1, language)} %",
        )
        for key, lost in zip(PLACES, part["lost"], strict=False)
    ]
    words = (marked("Place"), marked("Lost"), marked("Share of the crop"))
    head = tuple(gettext(word, language) for word in words)
    return Table(gettext(marked("The counts, split"), language), head, tuple(rows))


def explained(
    part: Mapping[str, Any], facts: Facts, kept: Answer, reader: Reader, ids: str
) -> dict[str, Any]:
    """The shown fields of the answered part."""
    del ids
    language = reader.language
    crop = crops.load(facts["crop"])
    source = _WHEAT_SOURCE if crop.bears == "heads" else _BEAN_SOURCE
    target = crop.targets.total
    return {
        "yours": gettext(PLACES[kept.answer["choice"]], language),
        "best": gettext(PLACES[part["key"]], language),
        "advice": tuple(gettext(line, language) for line in _SUMS),
        "tables": (_split(part, facts, reader),),
        "how": (
            HowRow(
                gettext(marked("How counts are split"), language),
                gettext(marked("the discharge-width correction"), language),
                gettext(EVIDENCE["published"], language),
                sources.load()[source].called(language),
                f"/how/source/{source}",
            ),
            HowRow(
                target.called(language),
                f"{number(100 * target.si()[1], 1, language)} %",
                gettext(EVIDENCE[target.evidence], language),
                sources.load()[target.source].called(language),
                f"/how/source/{target.source}",
            ),
        ),
    }
