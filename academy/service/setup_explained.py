"""A set-up explained: pictures from the engine, and what each setting cost."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace
from typing import Any, cast

from academy import units
from academy.catalog import crops, headers
from academy.drawing.axis import Values
from academy.drawing.cost_curve import CurveView, Point, cost_curve
from academy.drawing.header_side import header_side
from academy.drawing.loss_strip import LossRow, loss_strip
from academy.drawing.share_bars import ShareItem, share_bars
from academy.drawing.side_view import BAT_ANGLES, SideView
from academy.engine.header import LOSS_PIECES, Readings, Settings
from academy.engine.reel_path import bat_path
from academy.grading import explain
from academy.grading.verdict import Problem
from academy.language import Reader, gettext, marked, number, show, unit_word
from academy.scenarios import conditions
from academy.scenarios.facts import Facts
from academy.service.chosen import chosen_settings
from academy.service.pictures import picture
from academy.service.problems import problem_of
from academy.service.shown_facts import KIND_OF
from academy.service.views import Picture, Table

PIECES = {
    "shatter": marked("shatter by the reel"),
    "loose_stalk": marked("cut but not carried in"),
    "knife": marked("shaken out at the knife"),
    "stubble": marked("left on the stubble"),
    "lodged": marked("lodged, not picked up"),
    "divider": marked("at the end dividers"),
    "belt_leak": marked("dropped between belt and bar"),
    "crossing_over": marked("thrown onto the other belt"),
    "processing": marked("behind the header"),
}
_YOURS = marked("Yours")
_AS_CHOSEN = marked("Cost of the field, the other settings as you chose them.")
_SELDOM = ("belt_leak", "crossing_over")  # told where they take something
_LOWEST = {"pods": marked("lowest pods"), "heads": marked("lowest heads")}


@dataclass(frozen=True, slots=True)
class Case:
    """The three settings of one answered set-up and their readings."""

    facts: Facts
    problem: Problem
    yours: Settings
    best: Settings
    found: Settings
    reader: Reader

    def readings(self, settings: Settings) -> Readings:
        """Readings of one of the three."""
        return explain.readings_of(self.problem, settings)

    def say(self, text: str) -> str:
        """A message in the reader's language."""
        return gettext(text, self.reader.language)


def case_of(
    part: Mapping[str, Any], facts: Facts, answer: Mapping[str, Any], reader: Reader
) -> Case:
    """The case of a stored part and its answer."""
    problem = problem_of(facts, tuple(part["controls"]))
    best = replace(problem.as_found, **part["key" if "best" not in part else "best"])
    yours = chosen_settings(part, facts, answer)
    return Case(facts, problem, yours, best, problem.as_found, reader)


def _share(value: float) -> str:
    return number(100.0 * value, 2, "en")


def pieces_told(found: Collection[str]) -> tuple[str, ...]:
    """The pieces of a loss to show, given those that took something."""
    return tuple(p for p in LOSS_PIECES if p not in _SELDOM or p in found)


def loss_picture(case: Case, ids: str) -> Picture:
    """The loss strip: yours, best, as found."""
    shown = (
        (marked("Yours"), case.yours),
        (marked("Best"), case.best),
        (marked("As found"), case.found),
    )
    return losses_picture(
        {label: case.readings(settings) for label, settings in shown}, case.say, ids
    )


def losses_picture(
    readings: Mapping[str, Readings], say: Callable[[str], str], ids: str
) -> Picture:
    """The loss strip of some readings by label."""
    told = pieces_told({p for r in readings.values() for p in _SELDOM if getattr(r, p)})
    rows = []
    for label, read in readings.items():
        pieces = {piece: float(getattr(read, piece)) for piece in told}
        total = float(read.total_loss)
        rows.append(LossRow(say(label), pieces, total, label == "Yours"))
    words = {
        "title": say(marked("Where the grain was lost")),
        "description": say(marked("Share of the crop lost at each place.")),
        "piece": say(marked("Lost")),
        "total": say(marked("All losses")),
        "unit": "%",
    }
    names = {piece: say(PIECES[piece]) for piece in told}
    return picture(
        loss_strip(rows, names, words, _share, f"{ids}-loss"), words["title"]
    )


def _side_view(case: Case) -> SideView:
    settings, machine = case.yours, case.problem.machine
    index = float(case.readings(settings).reel_index)
    height = float(settings.reel_height) + float(settings.cut_height)
    x, z = bat_path(machine.reel_tip_radius, height, index, BAT_ANGLES)
    measures = headers.load(case.facts["header"]).measures
    return SideView(
        tip_radius=float(machine.reel_tip_radius),
        reel_height=float(settings.reel_height),
        reel_lead=float(settings.reel_lead),
        cut_height=float(settings.cut_height),
        crop_height=float(case.problem.field.crop_height),
        lowest_grain=float(case.problem.field.lowest_grain),
        bats=int(machine.reel_bats),
        reel_index=index,
        belt_depth=measures.belt_depth.si()[1],
        bar_rise=float(machine.bar_rise),
        path_x=cast(Values, x),
        path_z=cast(Values, z),
        yours=True,
    )


def _side_words(case: Case) -> dict[str, str]:
    return {
        "title": case.say(marked("Your header from the side, to scale")),
        "description": case.say(
            marked("Reel, knife, belt and crop, and one tine's path over the ground.")
        ),
        "travel": case.say(marked("direction of travel")),
        "axle": case.say(marked("reel axle over the knife")),
        "lead": case.say(marked("reel axle ahead of the knife")),
        "cut": case.say(marked("cut height")),
        "crop": case.say(marked("crop height")),
        "pods": case.say(_LOWEST[crops.load(case.facts["crop"]).bears]),
        "bar": case.say(marked("how far the bar can rise")),
        "path": case.say(marked("path of one tine; reel index")),
        "entry": case.say(marked("where the tine goes straight down; speed there")),
        "touches": case.say(marked("tines reach the raised bar")),
        "measure": case.say(marked("Measure")),
        "value": case.say(marked("Value")),
    }


def side_picture(case: Case, ids: str) -> Picture:
    """The header from the side with the reel's path over the ground."""
    view, reader, read = _side_view(case), case.reader, case.readings(case.yours)
    lengths = {
        "axle": view.reel_height,
        "lead": view.reel_lead,
        "cut": view.cut_height,
        "crop": view.crop_height,
        "pods": view.lowest_grain,
        "bar": view.bar_rise,
    }
    values = {k: show(length, "short_length", reader) for k, length in lengths.items()}
    values["path"] = show(view.reel_index, "ratio", reader)
    values["entry"] = show(float(read.entry_speed), "bat_speed", reader)
    words = _side_words(case)
    return picture(header_side(view, words, values, f"{ids}-side"), words["title"])


def barred_spans(xs: list[float], barred: list[bool]) -> list[tuple[float, float]]:
    """From where to where a curve over ``xs`` is barred."""
    half = (xs[1] - xs[0]) / 2
    return [(x - half, x + half) for x, bad in zip(xs, barred, strict=True) if bad]


def curve_picture(
    case: Case, name: str, ids: str, point: str = _YOURS, about: str = _AS_CHOSEN
) -> Picture:
    """Cost against one control, the others as you set them, with the band.

    ``point`` names the mark, ``about`` says how the other settings stand.
    """
    control = next(c for c in case.problem.controls if c.name == name)
    drawn = explain.curve(case.problem, control, case.yours)
    label, _ = units.KINDS[KIND_OF[name]].shown(case.reader.units)
    money, _ = units.KINDS["money_per_area"].shown(case.reader.units)
    xs = [float(v) for v in units.from_si(drawn.values, label)]
    shown = {
        key: [float(v) for v in units.from_si(getattr(drawn, key), money)]
        for key in ("cost", "low", "high")
    }
    here = float(units.from_si(float(getattr(case.yours, name)), label))
    cost = float(units.from_si(float(case.readings(case.yours).cost), money))
    axis = conditions.range_of(case.facts, name).name
    view = CurveView(
        values=xs,
        points=[Point(case.say(point), here, cost, "disc", yours=True)],
        barred=barred_spans(xs, drawn.barred.tolist()),
        cost=shown["cost"],
        low=shown["low"],
        high=shown["high"],
    )
    words = curve_words(case, axis.for_language(case.reader.language), label, money)
    words["description"] = case.say(about)
    return picture(cost_curve(view, words, ids=f"{ids}-{name}"), words["title"])


def curve_words(case: Case, axis: str, label: str, money: str) -> dict[str, str]:
    """Words of a cost curve; ``description`` says how the other settings stand."""
    title = case.say(marked("Cost against %(setting)s")) % {"setting": axis}
    return {
        "title": title,
        "x": f"{axis} ({unit_word(label, case.reader.language)})",
        "y": case.say(marked("cost, %(unit)s"))
        % {"unit": unit_word(money, case.reader.language)},
        "band": case.say(marked("8 of 10 possible cases lie here")),
        "low": case.say(marked("lower edge of the band")),
        "high": case.say(marked("upper edge of the band")),
        "barred": case.say(marked("a hard limit is broken here")),
    }


def share_picture(case: Case, shares: Mapping[str, float], ids: str) -> Picture:
    """Each setting's share of the avoidable loss; they add up to the whole."""
    items = [
        ShareItem(
            conditions.range_of(case.facts, name).name.for_language(
                case.reader.language
            ),
            show(value, "money_per_area", case.reader),
            value,
        )
        for name, value in shares.items()
    ]
    words = {
        "title": case.say(marked("What each setting cost you")),
        "description": case.say(
            marked("Shares of the cost above the best settings; they add up to it.")
        ),
        "setting": case.say(marked("Setting")),
        "share": case.say(marked("Share of the avoidable cost")),
        "brought": case.say(marked("cost you money")),
        "saved": case.say(marked("saved you money")),
    }
    made = picture(share_bars(items, words, f"{ids}-share"), words["title"])
    total = show(sum(shares.values()), "money_per_area", case.reader)
    rows = (*made.table.rows, (case.say(marked("Together")), total))
    return replace(made, table=replace(made.table, rows=rows))


def money_table(case: Case) -> Table:
    """Cost by kind for the three settings, in one unit named by the caption."""
    names = (
        ("loss_cost", marked("Lost grain")),
        ("machine_cost", marked("Machine hours")),
        ("stoppage_cost", marked("Stoppages")),
        ("soil_cost", marked("Soil in the grain")),
        ("cost", marked("Together")),
    )
    label, decimals = units.KINDS["money_per_area"].shown(case.reader.units)
    reads = [case.readings(s) for s in (case.yours, case.best, case.found)]
    rows = tuple(
        (case.say(text), *(_in(read, name, label, decimals) for read in reads))
        for name, text in names
    )
    head = (
        case.say(marked("Cost")),
        *(case.say(t) for t in (marked("Yours"), marked("Best"), marked("As found"))),
    )
    unit = unit_word(label, case.reader.language)
    return Table(f"{case.say(marked('What it costs'))} ({unit})", head, rows)


def _in(read: Readings, name: str, label: str, decimals: int) -> str:
    return number(
        float(units.from_si(float(getattr(read, name)), label)), decimals, "en"
    )


def settings_table(case: Case) -> Table:
    """The settings asked, for the three."""
    rows = []
    for control in case.problem.controls:
        kind = KIND_OF[control.name]
        shown = [
            show(float(getattr(s, control.name)), kind, case.reader)
            for s in (case.yours, case.best, case.found)
        ]
        name = conditions.range_of(case.facts, control.name).name.for_language(
            case.reader.language
        )
        rows.append((name, *shown))
    head = (
        case.say(marked("Setting")),
        *(case.say(t) for t in (marked("Yours"), marked("Best"), marked("As found"))),
    )
    return Table(case.say(marked("Settings side by side")), head, tuple(rows))
