"""The field calculators: a few typed figures in, a few figures out, nothing kept.

All figures are in SI; ``kind`` says how a reader is shown one. ``how`` are the keys of
the pages that answer "how do we know?".
"""

from collections.abc import Mapping
from dataclasses import dataclass

from academy import units
from academy.catalog import calculators, crops, grains
from academy.engine import capacity, counting, economics, reel
from academy.language import marked
from academy.service import grain_in_air, loss_split
from academy.service.loss_split import Counts
from academy.service.quantity import kernel_figures, kernel_of

Figures = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Line:
    """One figure of an answer: its English name, kind, SI value and how we know it."""

    name: str
    kind: str
    si: float
    how: tuple[str, ...] = ()
    main: bool = False


def reel_speed(asked: Figures) -> list[Line]:
    """Reel speed for a ground speed, a reel diameter and a wanted reel index."""
    radius, speed = asked["reel_diameter"] / 2, asked["ground_speed"]
    index = asked["reel_index"]
    rate = float(reel.reel_rate_for(radius, index, speed))
    return [
        Line(marked("Reel speed"), "reel_speed", rate, ("reel_index",), main=True),
        Line(
            marked("How fast a bat comes down into the crop"),
            "bat_speed",
            float(reel.entry_speed(speed, index)),
            ("shatter_threshold_speed",),
        ),
        Line(
            marked("How fast a bat sweeps the crop back at its lowest point"),
            "bat_speed",
            float(reel.sweep_speed(speed, index)),
        ),
    ]


def loss_check(crop_key: str, asked: Figures) -> list[Line]:
    """Grain left behind, by where it was lost, from counts at three places.

    Raises OutOfRange where fewer seeds lie farther back than the place before.
    """
    figure, kernel = kernel_of(grains.of(crop_key))
    names = ("ahead", "under", "behind", "frame_area", "cut_width", "discharge_width")
    lost = loss_split.split(Counts(*(asked[name] for name in names)), kernel)
    share = float(counting.loss_share(lost.total, asked["crop_yield"]))
    counted = (f"{crop_key}.grain.{figure}",)
    target = (f"{crop_key}.targets.total",) if crop_key in crops.known() else ()
    return [
        Line(marked("Lost before the machine came"), "loss_mass", lost.before, counted),
        Line(
            marked("Lost at the header"), "loss_mass", lost.header, counted, main=True
        ),
        Line(
            marked("Lost in threshing and cleaning"), "loss_mass", lost.behind, counted
        ),
        Line(
            marked("All of it, as a share of the crop"),
            "share",
            share,
            target,
        ),
        Line(
            marked("What the header's part is worth"),
            "money_per_area",
            lost.header * asked["price"],
        ),
    ]


def countable() -> tuple[str, ...]:
    """Crops whose seeds we can turn into mass, those with a file of their own first."""
    known = [key for key in grains.load() if kernel_figures(grains.of(key))]
    return tuple(sorted(known, key=lambda key: (key not in crops.known(), key)))


def asked_crops(calculator: str) -> tuple[str, ...]:
    """Crops that a calculator lets one choose from; none where none matters."""
    if calculator == "damp_air":
        return grain_in_air.crops()
    asked = calculators.load()[calculator].values()
    bushels = any(units.counts_bushels(one.unit) for one in asked)
    return countable() if bushels else ()


def field_work(asked: Figures) -> list[Line]:
    """Area, grain, hours and cost of a pace, and of a somewhat faster one."""
    now = _pace(asked, asked["ground_speed"])
    faster = _pace(asked, asked["ground_speed"] + asked["faster_by"])
    into_tank = float(capacity.material_rate(now, asked["crop_yield"]))
    hours = float(capacity.work_time(asked["field_area"], now))
    saved = hours - float(capacity.work_time(asked["field_area"], faster))
    cost, less = (
        float(economics.machine_cost_per_area(asked["hour_cost"], rate))
        for rate in (now, faster)
    )
    return [
        Line(marked("Field capacity"), "area_rate", now, main=True),
        Line(marked("Hours for the field"), "time", hours),
        Line(marked("Grain into the tank"), "grain_rate", into_tank),
        Line(marked("Machine and operator"), "money_per_area", cost),
        Line(marked("Hours saved when faster"), "time", saved),
        Line(marked("Money saved when faster"), "money_per_area", cost - less),
    ]


def _pace(asked: Figures, speed: float) -> float:
    rate = capacity.field_capacity(asked["width"], speed, asked["field_efficiency"])
    return float(rate)


def grain_in_damp_air(crop_key: str, asked: Figures) -> list[Line]:
    """The moisture that a crop's grain comes to in the air."""
    temperature, humidity = asked["air_temperature"], asked["relative_humidity"]
    found = grain_in_air.equilibrium_moisture(crop_key, temperature, humidity)
    known = tuple(grain_in_air.figures(crop_key))[:1]
    name = marked("Moisture the grain comes to, wet basis")
    return [Line(name, "moisture", found, known, main=True)]


def known() -> tuple[str, ...]:
    """Keys of the calculators, in the order of the content file."""
    return tuple(calculators.load())
