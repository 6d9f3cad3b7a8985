"""The ground speed that costs least, with its doubt; money by area, hour and field."""

from collections.abc import Iterable
from dataclasses import dataclass

from academy import units
from academy.catalog import crops, standards
from academy.drawing.cost_curve import CurveView, Point, cost_curve
from academy.engine import economics
from academy.engine.header import Readings, Settings
from academy.engine.pace import Season
from academy.grading.pace import Pace, paced
from academy.grading.verdict import Problem
from academy.language import Reader, gettext, marked, show, unit_word
from academy.service.pictures import picture
from academy.service.views import Picture, Table

_COSTS = (
    ("loss_cost", marked("Lost grain")),
    ("machine_cost", marked("Machine hours")),
    ("stoppage_cost", marked("Stoppages")),
    ("soil_cost", marked("Soil in the grain")),
    ("cost", marked("Together")),
)


@dataclass(frozen=True, slots=True)
class Late:
    """What a season's lateness is reckoned with; None leaves it to the content.

    ``daily_loss`` [1/s] is the farm's own, else the crop's where one was published.
    """

    daily_loss: float | None = None
    area: float | None = None  # [m^2] of the season


def season_of(crop: str, late: Late | None = None) -> Season | None:
    """The season of a crop; None where no daily loss was published or given."""
    asked, known = late or Late(), standards.load()
    published, timeliness = crops.load(crop).delay, asked.daily_loss
    if timeliness is None:
        if published is None:
            return None
        timeliness = published.timeliness.si()[1]
    return Season(
        timeliness=timeliness,
        area=known.season_area.si()[1] if asked.area is None else asked.area,
        working_share=known.working_hours.si()[1] / units.to_si(1.0, "day"),
        workday_share=known.fit_days.si()[1],
        schedule_divisor=known.schedule_divisor.si()[1],
    )


def _words(reader: Reader, label: str, money: str, season: bool) -> dict[str, str]:
    say = reader.language
    late = marked("Cost against ground speed, a late season counted in")
    alone = marked("Cost against ground speed, a late season not counted in")
    texts = {
        "title": late if season else alone,
        "description": marked(
            "Cost of the field at each speed; the reel keeps its index, the other "
            "settings stay."
        ),
        "band": marked("8 of 10 possible cases lie here"),
        "likely": marked("least cost in 8 of 10 possible cases"),
        "low": marked("lower edge of the band"),
        "high": marked("upper edge of the band"),
        "barred": marked("a hard limit is broken here"),
    }
    words = {kind: gettext(text, say) for kind, text in texts.items()}
    axis = gettext(marked("ground speed"), say)
    words["x"] = f"{axis} ({unit_word(label, say)})"
    plain, with_late = marked("cost, %(unit)s"), marked("cost with lateness, %(unit)s")
    cost = gettext(with_late if season else plain, say)
    words["y"] = cost % {"unit": unit_word(money, say)}
    return words


def _barred(speeds: list[float], barred: list[bool]) -> list[tuple[float, float]]:
    half = (speeds[1] - speeds[0]) / 2
    pairs = zip(speeds, barred, strict=True)
    return [(x - half, x + half) for x, bad in pairs if bad]


def pace_picture(
    problem: Problem,
    settings: Settings,
    reader: Reader,
    season: Season | None = None,
    ids: str = "pace",
    *,
    yours: bool = True,
) -> Picture:
    """Cost against ground speed: yours if asked, the least, where the least may lie.

    ``problem`` must offer the ground speed as a control. Raises OutOfRange when no
    speed is safe.
    """
    found = paced(problem, settings, season)
    label, _ = units.KINDS["ground_speed"].shown(reader.units)
    money, _ = units.KINDS["money_per_area"].shown(reader.units)
    speeds = _shown(found.speeds, label)
    low, high = _shown((found.best_low, found.best_high), label)
    view = CurveView(
        values=speeds,
        cost=_shown(found.cost, money),
        low=_shown(found.low, money),
        high=_shown(found.high, money),
        points=_points(found, label, money, reader)[: 1 + yours],
        barred=_barred(speeds, found.barred.tolist()),
        likely=(low, high),
    )
    words = _words(reader, label, money, season is not None)
    words["description"] += " " + _said(found, reader)
    return picture(cost_curve(view, words, ids=f"{ids}-pace"), words["title"])


def _shown(values: Iterable[float], label: str) -> list[float]:
    return [float(units.from_si(float(value), label)) for value in values]


def _points(found: Pace, label: str, money: str, reader: Reader) -> list[Point]:
    """The least, and yours beside it."""
    yours, best = _shown((found.yours, found.best), label)
    paid, least = _shown((found.your_cost, found.best_cost), money)
    return [
        Point(gettext(marked("Least cost"), reader.language), best, least, "diamond"),
        Point(gettext(marked("Yours"), reader.language), yours, paid, "disc", True),
    ]


def _said(found: Pace, reader: Reader) -> str:
    """The least cost in words, with how far it may lie off."""
    best, low, high = (
        show(speed, "ground_speed", reader)
        for speed in (found.best, found.best_low, found.best_high)
    )
    text = marked(
        "Least at %(best)s; in 8 of 10 possible cases from %(low)s to %(high)s."
    )
    said = gettext(text, reader.language)
    return said % {"best": best, "low": low, "high": high}


def money_by(read: Readings, reader: Reader, field_area: float | None = None) -> Table:
    """Each kind of cost by area, by hour of work and for a whole field.

    ``field_area`` [m^2] is the example's where none is given.
    """
    known = standards.load().field_area.si()[1]
    area = known if field_area is None else field_area
    rate = float(read.area_rate)
    rows = []
    for name, text in _COSTS:
        cost = float(getattr(read, name))
        rows.append(
            (
                gettext(text, reader.language),
                show(cost, "money_per_area", reader),
                show(float(economics.cost_rate(cost, rate)), "hour_cost", reader),
                show(float(economics.field_cost(cost, area)), "money", reader),
            )
        )
    heads = (
        marked("Cost"),
        marked("By area"),
        marked("By hour of work"),
        marked("For a field of %(area)s"),
    )
    shown = {"area": show(area, "field_area", reader)}
    head = tuple(gettext(text, reader.language) % shown for text in heads)
    title = gettext(marked("What it costs by area, hour and field"), reader.language)
    return Table(title, head, tuple(rows))
