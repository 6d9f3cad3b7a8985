"""The whole bank looked through: draws, refusals, flips, pars and plain guessing.

Nothing here is a person's answer: pars come from the one borderline operator, and the
guessers follow a rule without reading.
"""

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from statistics import fmean
from typing import Any

from academy.catalog import families
from academy.catalog.families import Asked, Family
from academy.catalog.reading_grade import flesch_kincaid, inflesz
from academy.errors import AcademyError
from academy.grading.options import MOST_FLIPS
from academy.language import Reader
from academy.records.queries.stock import Draft
from academy.service import asking, clones, making
from academy.service.check_lessons import HARDEST_GRADE, LEAST_EASE
from academy.service.views import PartView

GUESSERS = ("longest", "shortest", "middle", "third")
_LANGUAGES = ("en", "es")


@dataclass(frozen=True, slots=True)
class FamilyChecked:
    """What some draws of one family showed.

    ``rejected`` counts refused substreams, ``reasons`` by the kind of part that
    refused, or that the draw was no clone of the others; ``flips`` is the most of any
    draw; ``par`` the mean over draws of the mean over parts, ``spread`` the greatest
    distance of one draw from it; ``guessed`` the share of choices that a rule gets
    right beyond chance; ``words`` a question's mean length by language; ``reading`` the
    hardest draw, by Flesch-Kincaid grade in English and INFLESZ ease in Spanish;
    ``centre`` what each fixed policy is expected to score,
    as the mean over draws, and ``apart`` how far the draw farthest off lies from it.
    """

    key: str
    topic: str
    kind: str
    draws: int
    rejected: int
    reasons: Mapping[str, int]
    flips: int
    par: float
    spread: float
    words: Mapping[str, float]
    reading: Mapping[str, float]
    guessed: Mapping[str, float]
    centre: Mapping[str, float]
    apart: Mapping[str, float]
    problem: str = ""

    def wrong(self) -> str:
        """What keeps the family from being asked; empty when nothing does."""
        if self.problem:
            return self.problem
        if self.flips > MOST_FLIPS:
            return "key_flips"
        if max(self.apart.values(), default=0.0) > clones.APART:
            return "no_clones"
        hard = self.reading["en"] > HARDEST_GRADE or self.reading["es"] < LEAST_EASE
        return "hard_to_read" if hard else ""


def _made(key: str, seed: int, refused: Counter[str]) -> Draft | None:
    for substream in range(making.TRIES):
        found = making.attempt(key, seed, substream)
        if isinstance(found, Draft):
            return found
        refused[found] += 1
    return None


def _views(family: Family, draft: Draft, language: str) -> list[PartView]:
    reader = Reader("es" if language == "es" else "en", "metric")
    payload = json.loads(draft.payload)
    return [
        asking.part_view(place, asked, part, payload["facts"], reader)
        for place, (asked, part) in enumerate(
            zip(family.parts, payload["parts"], strict=True), start=1
        )
    ]


def _text(family: Family, views: Sequence[PartView], language: str) -> str:
    texts = [family.title.for_language(language), family.story.for_language(language)]
    for view in views:
        texts += [view.prompt, view.sign, *(text for _, text in view.options)]
        texts += [text for _, text in view.steps]
        texts += [name for _, name, _ in view.findings]
    return "\n".join(text for text in texts if text)


def _choices(draft: Draft, views: Sequence[PartView]) -> list[tuple[str, list[Any]]]:
    """Key and offered options of every part that is chosen from options."""
    parts = json.loads(draft.payload)["parts"]
    return [
        (part["key"], list(view.options))
        for part, view in zip(parts, views, strict=True)
        if view.options
    ]


def _guess(guesser: str, options: Sequence[tuple[str, str]]) -> str:
    lengths = [len(text) for _, text in options]
    place = {
        "longest": lengths.index(max(lengths)),
        "shortest": lengths.index(min(lengths)),
        "middle": len(options) // 2,
        "third": min(2, len(options) - 1),
    }[guesser]
    return str(options[place][0])


def _guessed(choices: Sequence[tuple[str, list[Any]]]) -> dict[str, float]:
    """How much oftener than by chance each rule hits the key."""
    if not choices:
        return {}
    chance = fmean(1.0 / len(options) for _, options in choices)
    return {
        guesser: fmean(_guess(guesser, options) == key for key, options in choices)
        - chance
        for guesser in GUESSERS
    }


def _flips(draft: Draft) -> int:
    parts = json.loads(draft.payload)["parts"]
    return max((int(part.get("flips", 0)) for part in parts), default=0)


def _main(asked: Sequence[Asked], name: str) -> str:
    return str(Counter(getattr(part, name) for part in asked).most_common(1)[0][0])


def checked(key: str, draws: int, first_seed: int = 0) -> FamilyChecked:
    """``draws`` scenarios of one family, from seed ``first_seed`` on.

    Same content, same result. Raises NotFound for an unknown family.
    """
    family, refused, problem = making.family(key), Counter[str](), ""
    made: list[Draft] = []
    try:
        found = (_made(key, first_seed + n, refused) for n in range(draws))
        made = [draft for draft in found if draft is not None]
    except AcademyError as error:
        problem = error.key
    if not problem and len(made) < draws:
        problem = "no_fair_draw"
    views = {
        language: [_views(family, draft, language) for draft in made]
        for language in _LANGUAGES
    }
    texts = {
        language: [_text(family, each, language) for each in shown]
        for language, shown in views.items()
    }
    pars = [fmean(part.par for part in draft.parts) for draft in made] or [0.0]
    pairs = zip(made, views["en"], strict=True)
    choices = [one for draft, shown in pairs for one in _choices(draft, shown)]
    return FamilyChecked(
        key=key,
        topic=_main(family.parts, "topic"),
        kind=_main(family.parts, "kind"),
        draws=len(made),
        rejected=sum(refused.values()),
        reasons=dict(refused),
        flips=max((_flips(draft) for draft in made), default=0),
        par=fmean(pars),
        spread=max(abs(par - fmean(pars)) for par in pars),
        words={
            language: fmean([len(text.split()) for text in told] or [0])
            for language, told in texts.items()
        },
        reading={
            "en": max((flesch_kincaid(text) for text in texts["en"]), default=0.0),
            "es": min((inflesz(text) for text in texts["es"]), default=100.0),
        },
        guessed=_guessed(choices),
        centre=clones.means(made),
        apart=clones.apart(made),
        problem=problem,
    )


def bank(draws: int, workers: int = 1) -> tuple[FamilyChecked, ...]:
    """Every family of the bank, ``draws`` scenarios each, in the order of the lists."""
    keys = list(families.known())
    one = partial(checked, draws=draws)
    if workers == 1:
        return tuple(map(one, keys))
    with ProcessPoolExecutor(workers) as pool:
        return tuple(pool.map(one, keys))
