"""One change: every option is an engine run; the least costly is the key."""

from collections.abc import Mapping
from functools import partial
from typing import Any

from academy.catalog import borderline, changes, coefficients
from academy.catalog.changes import Change
from academy.catalog.families import Asked
from academy.engine import header
from academy.engine.header import Machine, Readings, Settings
from academy.errors import NotUnderstood
from academy.grading import options, verdict
from academy.grading.choice import mark_choice
from academy.grading.mark import Mark
from academy.language import Reader, gettext, marked, number, show
from academy.records.queries.answers import Answer
from academy.scenarios import conditions
from academy.scenarios.change import changed
from academy.scenarios.facts import Facts
from academy.service import setup_explained
from academy.service.engine_how import engine_how
from academy.service.limit_words import LIMITS
from academy.service.problems import Made, problem_of, rounded
from academy.service.shown_facts import KIND_OF
from academy.service.views import Table

_WRONG = marked("The thought behind this choice: %(belief)s")
_MOVES = "%s (%s → %s)"


def _after(key: str, facts: Facts) -> tuple[Machine, Settings] | None:
    return changed(facts, changes.load()[key])


def made(asked: Asked, facts: Facts, place: int) -> Made | None:
    """The part, or None when a change cannot be made or the key does not stand."""
    shown = facts[f"part.{place}"]
    after = [_after(key, facts) for key in shown]
    possible = [each for each in after if each is not None]
    if len(possible) < len(shown):
        return None
    problem = problem_of(facts, ())
    draws = verdict.draws_of(problem)
    judged = options.judge_options(problem.field, possible, problem.values, draws)
    if not judged.accepted:
        return None
    key = {
        "shown": shown,
        "key": shown[judged.key],
        "flips": judged.flips,
        "margin": rounded(judged.margin),
        "r1": rounded(judged.r1),
        "draw_seed": verdict.DRAW_SEED,
        "draws": verdict.DRAWS,
    }
    return Made(key, borderline.load().par_of(asked.kind), rounded(1 / len(shown)))


def _moved(change: Change, facts: Facts, reader: Reader) -> str:
    """The change in words, with what the control reads before and after."""
    words = change.text.for_language(reader.language)
    after = changed(facts, change)
    if not change.setting or after is None:
        return words
    ends = (conditions.as_found(facts), after[1])
    shown = [
        show(float(getattr(end, change.setting)), KIND_OF[change.setting], reader)
        for end in ends
    ]
    return _MOVES % (words, *shown)


def asked(part: Mapping[str, Any], facts: Facts, reader: Reader) -> dict[str, Any]:
    """The shown fields of the part."""
    listed = changes.load()
    return {
        "options": tuple(
            (key, _moved(listed[key], facts, reader)) for key in part["shown"]
        )
    }


def mark(part: Mapping[str, Any], facts: Facts, answer: Mapping[str, Any]) -> Mark:
    """Right or wrong; raises NotUnderstood for what was never offered."""
    del facts
    if answer.get("choice") not in part["shown"]:
        raise NotUnderstood("choose_one")
    return mark_choice(answer["choice"], part["key"], wrong="wrong_choice")


def _runs(part: Mapping[str, Any], facts: Facts) -> dict[str, Readings]:
    """Readings of every option by key, and of the machine as found by ``""``."""
    field, values = conditions.field_of(facts), coefficients.load(facts["crop"]).values
    found = (conditions.machine_of(facts), conditions.as_found(facts))
    after = {key: _after(key, facts) or found for key in part["shown"]}
    return {
        key: header.run(field, machine, settings, values)
        for key, (machine, settings) in ({"": found} | after).items()
    }


def _broken(run: Readings, reader: Reader) -> str:
    """Which hard limits a run breaks, in words; nothing when none."""
    names = [name for name, flag in run.violations.items() if bool(flag)]
    return " ".join(gettext(LIMITS[name], reader.language) for name in names)


def _options_table(facts: Facts, runs: Mapping[str, Readings], reader: Reader) -> Table:
    say = partial(_say, reader)
    rows = []
    listed = {k: run for k, run in runs.items() if k or "leave_it" not in runs}
    for key, run in sorted(listed.items(), key=lambda item: float(item[1].cost)):
        name = _moved(changes.load()[key], facts, reader) if key else say(_AS_FOUND)
        barred = _broken(run, reader)
        cost = (
            f"{say(_BARRED)}: {barred}"
            if barred
            else show(float(run.cost), "money_per_area", reader)
        )
        lost = f"{number(100 * float(run.total_loss), 2, reader.language)} %"
        rows.append((name, cost, lost))
    head = (say(marked("Change")), say(marked("Cost")), say(marked("All losses")))
    return Table(say(marked("Every change, tried by the engine")), head, tuple(rows))


_AS_FOUND = marked("As found")
_BARRED = marked("breaks a hard limit")


def _say(reader: Reader, text: str) -> str:
    return gettext(text, reader.language)


def explained(
    part: Mapping[str, Any], facts: Facts, kept: Answer, reader: Reader, ids: str
) -> dict[str, Any]:
    """The shown fields of the answered part."""
    say, listed = partial(_say, reader), changes.load()
    chosen, best = kept.answer["choice"], part["key"]
    runs = _runs(part, facts)
    belief = listed[chosen].belief.for_language(reader.language)
    broken = _broken(runs[chosen], reader)
    said = [broken] if broken else []
    if chosen != best:
        said.append(say(_WRONG) % {"belief": belief})
    strip = {"Yours": runs[chosen], "Best": runs[best], "As found": runs[""]}
    return {
        "yours": _moved(listed[chosen], facts, reader),
        "best": _moved(listed[best], facts, reader),
        "advice": tuple(said),
        "pictures": (setup_explained.losses_picture(strip, say, ids),),
        "tables": (_options_table(facts, runs, reader),),
        "how": engine_how(facts["crop"], reader),
    }
