"""A group's settings, on the one field's own cost curves or each off its best.

Marks carry a label only when that was asked for; nobody is ordered by how well it went.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import fmean, median
from typing import Any

from academy import units
from academy.drawing.cost_curve import CurveView, Point, cost_curve
from academy.drawing.crowd import Mark
from academy.drawing.off_best import off_best
from academy.drawing.share_bars import ShareItem, share_bars
from academy.engine.header import LOSS_PIECES, Readings, Settings
from academy.engine.search import Control
from academy.grading import explain
from academy.language import marked, show, unit_word
from academy.scenarios import conditions
from academy.service import setup_explained
from academy.service.pictures import picture
from academy.service.setup_explained import Case
from academy.service.shown_facts import KIND_OF, capital
from academy.service.views import Picture, Table

_BEST, _FOUND = marked("Best"), marked("As found")
_MIDDLE, _MEAN = marked("Middle of the group"), marked("The group on average")
_HERE = marked(
    "Cost of the field, the other settings at their best. "
    "Each mark is one of the group."
)
_OFF = marked(
    "How far each set it off the best for their own field. Each mark is one person."
)


@dataclass(frozen=True, slots=True)
class Chosen:
    """What one of the group set; ``label`` is empty unless marks are to be told."""

    label: str
    case: Case

    def set(self, name: str) -> float:
        """One setting [SI]."""
        return float(getattr(self.case.yours, name))


def on_the_curves(group: Sequence[Chosen], ids: str) -> tuple[Picture, ...]:
    """One field: its losses, what each setting cost, and a curve per control."""
    case = group[0].case
    names = [control.name for control in case.problem.controls]
    middle = replace(
        case.found, **{name: median(one.set(name) for one in group) for name in names}
    )
    shown = {_FOUND: case.found, _BEST: case.best, _MIDDLE: middle}
    read = {label: case.readings(settings) for label, settings in shown.items()}
    return (
        *(_curve(group, control, middle, ids) for control in case.problem.controls),
        setup_explained.losses_picture(read, case.say, ids),
        _cost_on_average(group, ids),
    )


def off_the_best(group: Sequence[Chosen], ids: str) -> tuple[Picture, ...]:
    """A field each: how far off its best, losses and costs on average."""
    case = group[0].case
    cases = [one.case for one in group]
    read = {
        _FOUND: _mean([each.readings(each.found) for each in cases]),
        _BEST: _mean([each.readings(each.best) for each in cases]),
        _MEAN: _mean([each.readings(each.yours) for each in cases]),
    }
    return (
        *(_off(group, control, ids) for control in case.problem.controls),
        setup_explained.losses_picture(read, case.say, ids),
        _cost_on_average(group, ids),
    )


def settings_table(group: Sequence[Chosen]) -> Table:
    """What everyone set, by label."""
    case = group[0].case
    names = [control.name for control in case.problem.controls]
    head = (case.say(marked("Who")), *(_called(case, name) for name in names))
    rows = tuple(
        (
            one.label,
            *(show(one.set(name), KIND_OF[name], case.reader) for name in names),
        )
        for one in group
    )
    return Table(case.say(marked("What everyone set")), head, rows)


def _called(case: Case, name: str) -> str:
    words = conditions.range_of(case.facts, name).name
    return capital(words.for_language(case.reader.language))


def _curve(
    group: Sequence[Chosen], control: Control, middle: Settings, ids: str
) -> Picture:
    case, name = group[0].case, control.name
    shown = {_BEST: case.best, _FOUND: case.found, _MIDDLE: middle}
    stands = [float(getattr(settings, name)) for settings in shown.values()]
    costs = explain.costs_of(case.problem, case.best, name, stands)
    drawn = explain.curve(case.problem, control, case.best, stands)
    label, money = _labels(case, name)
    xs = [float(v) for v in units.from_si(drawn.values, label)]
    view = CurveView(
        values=xs,
        cost=[float(v) for v in units.from_si(drawn.cost, money)],
        low=[float(v) for v in units.from_si(drawn.low, money)],
        high=[float(v) for v in units.from_si(drawn.high, money)],
        points=[
            Point(
                case.say(text),
                float(units.from_si(x, label)),
                float(units.from_si(cost, money)),
                shape,
                yours=text == _MIDDLE,
            )
            for text, x, cost, shape in zip(
                shown, stands, costs, ("disc", "square", "diamond"), strict=True
            )
        ],
        barred=setup_explained.barred_spans(xs, drawn.barred.tolist()),
        crowd=[Mark(float(units.from_si(o.set(name), label)), o.label) for o in group],
    )
    axis = conditions.range_of(case.facts, name).name.for_language(case.reader.language)
    words = setup_explained.curve_words(case, axis, label, money)
    words["description"] = case.say(_HERE)
    words["crowd"] = case.say(marked("People"))
    return picture(cost_curve(view, words, ids=f"{ids}-{name}"), words["title"])


def _labels(case: Case, name: str) -> tuple[str, str]:
    system = case.reader.units
    return (
        units.KINDS[KIND_OF[name]].shown(system)[0],
        units.KINDS["money_per_area"].shown(system)[0],
    )


def _off(group: Sequence[Chosen], control: Control, ids: str) -> Picture:
    case, name = group[0].case, control.name
    label, _ = _labels(case, name)
    zero = float(units.from_si(0.0, label))
    off = [one.set(name) - float(getattr(one.case.best, name)) for one in group]
    marks = [
        Mark(float(units.from_si(each, label)) - zero, one.label)
        for each, one in zip(off, group, strict=True)
    ]
    axis = _called(case, name)
    title = case.say(marked("%(setting)s, off the best")) % {"setting": axis}
    words = {
        "title": title,
        "description": case.say(_OFF),
        "x": f"{axis} ({unit_word(label, case.reader.language)})",
        "best": case.say(marked("the best for their own field")),
        "people": case.say(marked("People")),
    }
    return picture(off_best(marks, words, ids=f"{ids}-{name}"), title)


def _mean(reads: Sequence[Readings]) -> Readings:
    """Readings with the mean of every piece of the loss."""
    fields = (*LOSS_PIECES, "total_loss")
    means: dict[str, Any] = {
        name: fmean(float(getattr(each, name)) for each in reads) for name in fields
    }
    return replace(reads[0], **means)


def _mean_shares(group: Sequence[Chosen]) -> Mapping[str, float]:
    """What each setting cost [money/m2], the mean of the group."""
    shares = [
        explain.shares_of_regret(one.case.problem, one.case.yours, one.case.best)
        for one in group
    ]
    return {name: fmean(each[name] for each in shares) for name in shares[0]}


def _cost_on_average(group: Sequence[Chosen], ids: str) -> Picture:
    case, shares = group[0].case, _mean_shares(group)
    items = [
        ShareItem(
            _called(case, name), show(value, "money_per_area", case.reader), value
        )
        for name, value in shares.items()
    ]
    words = {
        "title": case.say(marked("What each setting cost the group on average")),
        "description": case.say(
            marked("Shares of the cost above the best settings; they add up to it.")
        ),
        "setting": case.say(marked("Setting")),
        "share": case.say(marked("Share of the avoidable cost")),
        "brought": case.say(marked("cost the group money")),
        "saved": case.say(marked("saved the group money")),
    }
    made = picture(share_bars(items, words, f"{ids}-share"), words["title"])
    total = show(sum(shares.values()), "money_per_area", case.reader)
    rows = (*made.table.rows, (case.say(marked("Together")), total))
    return replace(made, table=replace(made.table, rows=rows))
