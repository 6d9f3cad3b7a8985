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

from academy.catalog import assessment, families
from academy.catalog.families import Asked, Family
from academy.catalog.reading_grade import flesch_kincaid, inflesz
from academy.errors import AcademyError
from academy.grading.options import MOST_FLIPS
from academy.language import Reader
from academy.records.queries.stock import Draft
from academy.service import asking, bank_guess, bank_texts, clones, making
from academy.service.bank_guess import Choice
from academy.service.check_lessons import HARDEST_GRADE, LEAST_EASE
from academy.service.views import PartView

SIMULATED = "simulated borderline operators"
FIXED = "fixed chance of the borderline operator, a judgement"
_CHOOSE = ("as_found", "too_fast", "reel_fast", "cut_high")  # beside key and guessers
_LANGUAGES = ("en", "es")


@dataclass(frozen=True, slots=True)
class FamilyChecked:
    """What some draws of one family showed.

    ``rejected`` counts refused substreams, ``reasons`` by the kind of part that
    refused, or that a par was outside what may be assessed, or that the draw was no
    clone of the others; ``flips`` is the most of any draw; ``par`` the mean over draws
    of the mean over parts, ``spread`` the greatest distance of one draw from it,
    ``pars`` those of the hardest and the easiest part, ``par_from`` where the par of
    each kind comes from; ``words`` a question's mean length by language; ``reading``
    the hardest draw, by Flesch-Kincaid grade in English and INFLESZ ease in Spanish;
    ``guessed`` the share of choices that a rule gets right beyond chance, in the
    language where it gets more, ``positions`` the same of each place from the top,
    ``guessable`` the part that a rule solves, ``option_use`` how often who picks what;
    ``centre`` what each fixed policy is expected to score, as the mean over draws, and
    ``apart`` how far the draw farthest off lies from it; ``missing`` where a text lacks
    its twin.
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
    assessed: bool
    pars: Mapping[str, float]
    par_from: Mapping[str, str]
    positions: Mapping[str, float]
    guessable: str
    option_use: Mapping[str, Mapping[str, Mapping[str, int]]]
    missing: tuple[str, ...]
    problem: str = ""

    def wrong(self) -> str:
        """What keeps the family from being asked; empty when nothing does."""
        hard = self.reading["en"] > HARDEST_GRADE or self.reading["es"] < LEAST_EASE
        found = {
            self.problem: bool(self.problem),
            "key_flips": self.flips > MOST_FLIPS,
            "par_outside": self.assessed and not _assessable(self.pars),
            "no_clones": max(self.apart.values(), default=0.0) > clones.APART,
            "guessable": bool(self.guessable),
            "text_missing": bool(self.missing),
            "hard_to_read": hard,
        }
        return next((name for name, holds in found.items() if holds), "")


def _assessable(pars: Mapping[str, float]) -> bool:
    bar = assessment.bar()
    return bar.hardest_par <= pars["hardest"] <= pars["easiest"] <= bar.easiest_par


def _ends(drafts: Sequence[Draft]) -> dict[str, float]:
    """Pars of the hardest and the easiest part; those of the bar without draws."""
    bar, pars = assessment.bar(), [part.par for one in drafts for part in one.parts]
    return {
        "hardest": min(pars, default=bar.hardest_par),
        "easiest": max(pars, default=bar.easiest_par),
    }


def _par_from(family: Family) -> dict[str, str]:
    """A set-up is answered by simulated operators; other kinds have one chance each."""
    return {
        part.kind: SIMULATED if part.kind == "set-up" else FIXED
        for part in family.parts
    }


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


def _choices(draft: Draft, views: Sequence[PartView]) -> list[Choice]:
    """Every part that is chosen from options, in the language of the views."""
    parts = json.loads(draft.payload)["parts"]
    return [
        Choice(view.index, part["key"], view.options, draft.digest)
        for part, view in zip(parts, views, strict=True)
        if view.options
    ]


def _all_choices(
    drafts: Sequence[Draft], views: Sequence[Sequence[PartView]]
) -> list[Choice]:
    pairs = zip(drafts, views, strict=True)
    return [one for draft, shown in pairs for one in _choices(draft, shown)]


def _guessed(choices: Mapping[str, Sequence[Choice]]) -> dict[str, float]:
    """Gain of each rule in the language where it gains more."""
    gains = [bank_guess.guessed(told) for told in choices.values()]
    return {name: max(gain[name] for gain in gains) for name in gains[0]}


def _guessable(choices: Mapping[str, Sequence[Choice]]) -> str:
    found = (bank_guess.guessable(told) for told in choices.values())
    return next((solved for solved in found if solved), "")


def _missing(
    family: Family, views: Mapping[str, Sequence[Sequence[PartView]]]
) -> tuple[str, ...]:
    told = [
        [text for each in views[lang] for text in bank_texts.shown(family, each, lang)]
        for lang in _LANGUAGES
    ]
    return bank_texts.missing(*told)


def _picks(drafts: Sequence[Draft]) -> dict[str, list[str]]:
    """What each fixed policy picks of every part of ``_choices``."""
    stored = [part for one in drafts for part in json.loads(one.payload)["parts"]]
    chosen = [part for part in stored if isinstance(part.get("key"), str)]
    return {
        policy: [clones.pick(policy, part) for part in chosen] for policy in _CHOOSE
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
    choices = {language: _all_choices(made, views[language]) for language in _LANGUAGES}
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
        assessed=family.assesses,
        pars=_ends(made),
        par_from=_par_from(family),
        positions=bank_guess.positions(choices["en"]),
        guessable=_guessable(choices),
        option_use=bank_guess.option_use(choices["en"], _picks(made)),
        missing=_missing(family, views),
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
