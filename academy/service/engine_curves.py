"""What the engine believes: each loss against each control, about the best settings.

And beside it what is recommended in print, so that one sees where the two part.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from academy import units
from academy.catalog import recommended, sources
from academy.catalog.recommended import Recommended
from academy.drawing.loss_stack import StackView, loss_stack
from academy.engine import search
from academy.engine.header import Settings
from academy.grading import explain
from academy.grading.verdict import Problem
from academy.language import Language, Reader, gettext, marked, show, unit_word
from academy.scenarios import conditions
from academy.scenarios.facts import Facts
from academy.service import pace_explained
from academy.service.bench_choice import CONTROLS, Choice, plain_facts, usual
from academy.service.evidence_words import EVIDENCE
from academy.service.hour_explained import HourAsked, day_picture
from academy.service.knife_kinds_explained import Pace, knife_kind_pictures
from academy.service.pictures import picture
from academy.service.problems import problem_of
from academy.service.setup_explained import PIECES, pieces_told
from academy.service.shown_facts import KIND_OF, capital
from academy.service.views import Picture, Table

_KIND = KIND_OF | {"header_loss": "share", "total_loss": "share"}


@dataclass(frozen=True, slots=True)
class Believed:
    """The best settings, the losses about them, and print beside them."""

    best: Table
    stacks: tuple[Picture, ...]
    pictures: tuple[Picture, ...]
    printed: Table


def least_cost(problem: Problem) -> Settings:
    """The settings that cost least, as the search finds them."""
    return search.best(
        problem.field,
        problem.machine,
        problem.as_found,
        problem.controls,
        problem.values,
        problem.engine,
    ).settings


def stack_picture(
    problem: Problem,
    best: Settings,
    name: str,
    facts: Facts,
    reader: Reader,
    ids: str = "stack",
) -> Picture:
    """The losses against one control of ``problem``, the others at their best."""
    control = next(one for one in problem.controls if one.name == name)
    drawn = explain.losses_along(problem, control, best)
    label, decimals = units.KINDS[KIND_OF[name]].shown(reader.units)
    xs = [float(each) for each in units.from_si(drawn.values, label)]
    here = float(units.from_si(float(getattr(best, name)), label))
    axis = conditions.range_of(facts, name).name.for_language(reader.language)
    words = _stack_words(axis, label, reader.language)
    told = pieces_told({name for name, loss in drawn.pieces.items() if loss.any()})
    shares = {name: [100.0 * each for each in drawn.pieces[name]] for name in told}
    view = StackView(xs, shares, here)
    names = {k: gettext(PIECES[k], reader.language) for k in told}
    stack = loss_stack(view, names, words, decimals, f"{ids}-{name}")
    return picture(stack, words["title"])


def _stack_words(axis: str, label: str, language: Language) -> dict[str, str]:
    say = {
        "title": marked("Losses against %(setting)s"),
        "description": marked(
            "Each band is one loss; the line on top is all of them. The other settings"
            " stand at their best."
        ),
        "y": marked("loss, % of the crop"),
        "total": marked("All losses"),
        "marked": marked("least cost"),
    }
    words = {key: gettext(text, language) for key, text in say.items()}
    words["title"] = words["title"] % {"setting": axis}
    words["x"] = f"{axis} ({unit_word(label, language)})"
    return words


def _best(problem: Problem, best: Settings, facts: Facts, reader: Reader) -> Table:
    read = problem.run(best, problem.values)
    rows = [
        (
            capital(
                conditions.range_of(facts, name).name.for_language(reader.language)
            ),
            show(float(getattr(best, name)), KIND_OF[name], reader),
        )
        for name in CONTROLS
    ]
    more: tuple[tuple[str, str, str], ...] = (
        ("reel_index", "ratio", marked("Reel index")),
        ("total_loss", "share", marked("All losses")),
        ("cost", "money_per_area", marked("Cost")),
    )
    rows += [
        (gettext(words, reader.language), show(float(getattr(read, n)), kind, reader))
        for n, kind, words in more
    ]
    head = (marked("Setting"), marked("Least cost"))
    said = tuple(gettext(word, reader.language) for word in head)
    title = gettext(marked("The best settings here"), reader.language)
    return Table(title, said, tuple(rows))


def _pictures(
    problem: Problem, best: Settings, choice: Choice, reader: Reader
) -> Iterator[Picture]:
    """Cost against speed, the knives at that pace, and the crop's hours that day."""
    facts, season = plain_facts(choice), pace_explained.season_of(choice.crop)
    yield pace_explained.pace_picture(
        problem, best, reader, season, "believed-pace", yours=False
    )
    yield from knife_kind_pictures(facts, Pace(best), reader, "believed-knife")
    hour = float(units.to_si(float(choice.hour), "h"))
    asked = HourAsked(crop=choice.crop, day=choice.day, at=hour)
    yield day_picture(asked, reader, "believed-hour")


def _found(one: Recommended, header_key: str) -> float:
    """What the engine finds best for the field that is recommended for."""
    facts: dict[str, Any] = plain_facts(usual({"crop": one.crop, "header": header_key}))
    facts |= {name: [each.value, each.unit] for name, each in one.field.items()}
    problem = problem_of(facts, CONTROLS)
    best = least_cost(problem)
    if one.figure in CONTROLS:
        return float(getattr(best, one.figure))
    run = problem.run(best, problem.values)
    return float(getattr(run, one.figure))


def _span(one: Recommended, reader: Reader) -> str:
    kind = _KIND[one.figure]
    low, value, high = (show(each, kind, reader) for each in one.si())
    return value if low == high else f"{low} – {high}"


def _printed(header_key: str, reader: Reader) -> Table:
    """Printed recommendations beside what the engine finds best."""
    say = reader.language
    rows = tuple(
        (
            one.name.for_language(say),
            _span(one, reader),
            show(_found(one, header_key), _KIND[one.figure], reader),
            gettext(EVIDENCE[one.evidence], say).partition(":")[0],
            sources.load()[one.source].called(say),
        )
        for one in recommended.load().values()
    )
    words = (
        marked("What"),
        marked("In print"),
        marked("Engine"),
        marked("Known from"),
        marked("Source"),
    )
    head = tuple(gettext(word, say) for word in words)
    return Table(gettext(marked("Beside what is printed"), say), head, rows)


def believed(choice: Choice, reader: Reader) -> Believed:
    """Losses about the best settings of an ordinary field of the choice."""
    facts = plain_facts(choice)
    problem = problem_of(facts, CONTROLS)
    best = least_cost(problem)
    return Believed(
        best=_best(problem, best, facts, reader),
        stacks=tuple(
            stack_picture(problem, best, name, facts, reader) for name in CONTROLS
        ),
        pictures=tuple(_pictures(problem, best, choice, reader)),
        printed=_printed(choice.header, reader),
    )
