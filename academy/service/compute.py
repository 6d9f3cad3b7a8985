"""One figure from typed ones, for ``academy compute``: what it is and how we know it.

Every figure is typed with its unit (``42in``, ``3 mph``, ``25 %``); only ratios and
counts may stand bare. The command line reads strictly: no comma is a decimal mark.
"""

import math
import warnings
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from academy import units
from academy.catalog import grains
from academy.catalog.evidence import Evidenced
from academy.engine import capacity, counting, economics, knife, moisture, reel
from academy.errors import NotFound, NotUnderstood, OutOfRange
from academy.service import (
    counted_figures,
    crop_value,
    grain_in_air,
    header_figures,
    loss_split,
    machine_hour,
    machine_money,
    straw_flow,
)
from academy.service.quantity import (
    Asked,
    Given,
    Quantity,
    call,
    kernel_entry,
    kernel_mass,
)

WEAKER = ("published", "derived", "practice", "memory", "judgement")


@dataclass(frozen=True, slots=True)
class Answer:
    """A figure with its unit, the weakest evidence in it, and all it leans on.

    ``parts`` add up to it, in its unit; ``notes`` are messages that belong beside it.
    """

    quantity: str
    kind: str
    value: float
    unit: str
    evidence: str
    source: str
    leans_on: Mapping[str, Evidenced]
    parts: Mapping[str, float]
    notes: tuple[str, ...]


def _loss_from_count(given: Given) -> float:
    mass = kernel_mass(given)
    return float(counting.count_to_mass_per_area(given["count"], given["area"], mass))


def _reel_speed(given: Given) -> float:
    radius = given["reel-diameter"] / 2
    return float(reel.reel_rate_for(radius, given["reel-index"], given["ground-speed"]))


def _reel_index(given: Given) -> float:
    radius = given["reel-diameter"] / 2
    return float(reel.reel_index(radius, given["reel-speed"], given["ground-speed"]))


def _cost_of_loss(given: Given) -> float:
    everything = 1.0  # all of what lies on the ground is lost
    return float(economics.cost_of_loss(everything, given["loss"], given["price"]))


_SPEED, _LENGTH, _SHORT = Asked("ground_speed"), Asked("length"), Asked("short_length")
_RATIO, _SHARE, _MOISTURE = Asked("ratio"), Asked("share"), Asked("moisture")

QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {
        "reel-speed": Quantity(
            "reel_speed",
            {"reel-diameter": _SHORT, "ground-speed": _SPEED, "reel-index": _RATIO},
            _reel_speed,
            "kinematics",
            crop=False,
        ),
        "reel-index": Quantity(
            "ratio",
            {
                "reel-diameter": _SHORT,
                "reel-speed": Asked("reel_speed"),
                "ground-speed": _SPEED,
            },
            _reel_index,
            "kinematics",
            crop=False,
        ),
        "bat-entry-speed": Quantity(
            "bat_speed",
            {"ground-speed": _SPEED, "reel-index": _RATIO},
            call(reel.entry_speed, "ground-speed", "reel-index"),
            "kinematics",
            crop=False,
        ),
        "axle-height": Quantity(
            "short_length",
            {
                "crop-height": _SHORT,
                "cut-height": _SHORT,
                "tip-radius": _SHORT,
                "reel-index": _RATIO,
            },
            call(
                reel.entry_axle_height,
                *("crop-height", "cut-height", "tip-radius", "reel-index"),
            ),
            "kinematics",
            crop=False,
        ),
        "advance-per-stroke": Quantity(
            "small_length",
            {"ground-speed": _SPEED, "stroke-rate": Asked("stroke_rate")},
            call(knife.advance_per_stroke, "ground-speed", "stroke-rate"),
            "kinematics",
            crop=False,
        ),
        "field-capacity": Quantity(
            "area_rate",
            {"width": _LENGTH, "ground-speed": _SPEED, "field-efficiency": _SHARE},
            call(capacity.field_capacity, "width", "ground-speed", "field-efficiency"),
            "kinematics",
            crop=False,
        ),
        "loss-from-count": Quantity(
            "loss_mass",
            {
                "count": Asked("count"),
                "area": Asked("area"),
                "kernel-weight": Asked("kernel_mass", needed=False),
            },
            _loss_from_count,
            "mass-balance",
            crop=True,
            leans_on=kernel_entry,
        ),
        "loss-share": Quantity(
            "share",
            {"loss": Asked("loss_mass"), "yield": Asked("crop_yield")},
            call(counting.loss_share, "loss", "yield"),
            "mass-balance",
        ),
        "moisture-shrink": Quantity(
            "mass",
            {
                "mass": Asked("mass"),
                "from-moisture": _MOISTURE,
                "to-moisture": _MOISTURE,
            },
            call(moisture.shrink, "mass", "from-moisture", "to-moisture"),
            "mass-balance",
            like="mass",
        ),
        "cost-of-loss": Quantity(
            "money_per_area",
            {"loss": Asked("loss_mass"), "price": Asked("price")},
            _cost_of_loss,
            "mass-balance",
        ),
        "loss-split": loss_split.QUANTITY,
        "equilibrium-moisture": grain_in_air.QUANTITY,
        **counted_figures.QUANTITIES,
        **header_figures.QUANTITIES,
        **machine_money.QUANTITIES,
        **machine_hour.QUANTITIES,
        **straw_flow.QUANTITIES,
        **crop_value.QUANTITIES,
    }
)


def arguments_of(words: Sequence[str]) -> dict[str, str]:
    """``name=value`` words as a table; raises NotUnderstood."""
    typed: dict[str, str] = {}
    for word in words:
        name, equals, value = word.partition("=")
        if not equals or not name.strip():
            raise NotUnderstood("argument_without_equals", text=word)
        if name.strip() in typed:
            raise NotUnderstood("argument_twice", name=name.strip())
        typed[name.strip()] = value
    return typed


def _find(name: str) -> Quantity:
    if name not in QUANTITIES:
        raise NotFound("no_such_quantity", text=name, allowed=", ".join(QUANTITIES))
    return QUANTITIES[name]


def _check_names(asked: Quantity, typed: Mapping[str, str]) -> None:
    crop = [] if asked.crop is False else ["crop"]
    for name in typed:
        if name not in asked.asks and name not in crop:
            allowed = ", ".join([*asked.asks, *crop])
            raise NotUnderstood("unknown_argument", text=name, allowed=allowed)
    needed = [name for name, figure in asked.asks.items() if figure.needed]
    for name in [*needed, *(["crop"] if asked.crop else [])]:
        if name not in typed:
            raise NotUnderstood("missing_argument", name=name)


def _read(name: str, asked: Asked, text: str) -> tuple[float, str]:
    allowed = units.labels_for(asked.kind)
    bare = "1" if "1" in allowed else None  # only ratios and counts may stand bare
    value, label = units.read(text, allowed, bare, strict=True)
    if value < 0 and not asked.signed:
        raise OutOfRange("must_not_be_negative", name=name, value=text.strip())
    return value, label


def _weakest(classes: Sequence[str]) -> str:
    return max(classes, key=WEAKER.index)


def _unit_for(
    asked: Quantity, given: Given, labels: Mapping[str, str], to: str | None
) -> str:
    """Label of the answer: the one asked for, one typed, or the kind's own.

    Without a crop nothing can be told in bushels: then it is the metric one.
    """
    if to is not None:
        return units.read(f"1 {to}", units.labels_for(asked.kind), None)[1]
    if asked.like:
        return labels[asked.like]
    kind = units.KINDS[asked.kind]
    bushels = units.counts_bushels(kind.us) and given.crop is None
    return kind.metric if bushels else kind.us


def _given(asked: Quantity, typed: Mapping[str, str]) -> tuple[Given, dict[str, str]]:
    """The typed figures in SI with their crop, and the unit each was typed in."""
    key = typed.get("crop", "").strip()
    crop = grains.of(key) if "crop" in typed else None
    figures = {name: text for name, text in typed.items() if name != "crop"}
    read = {name: _read(name, asked.asks[name], text) for name, text in figures.items()}
    bushel = crop.bushel if crop else None
    si = {n: float(units.to_si(v, label, bushel)) for n, (v, label) in read.items()}
    labels = {name: label for name, (_, label) in read.items()}
    return Given(MappingProxyType(si), crop, key), labels


def _out(si: float, unit: str, given: Given) -> float:
    """A figure in its unit to nine digits; raises OutOfRange where it is none."""
    value = float(units.from_si(si, unit, given.crop.bushel if given.crop else None))
    if not math.isfinite(value):
        raise OutOfRange("result_not_finite")
    return float(f"{value:.9g}")


def _worked_out(asked: Quantity, given: Given) -> tuple[float, Mapping[str, float]]:
    """The figure and its parts in SI; raises OutOfRange where numbers run over."""
    with warnings.catch_warnings():
        warnings.simplefilter("error", RuntimeWarning)
        try:
            return asked.formula(given), asked.parts(given)
        except (ArithmeticError, RuntimeWarning) as ran_over:
            raise OutOfRange("result_not_finite") from ran_over


def compute(quantity: str, typed: Mapping[str, str], to: str | None = None) -> Answer:
    """The figure ``quantity`` from typed figures, in ``to`` or an ordinary unit.

    Raises NotFound for an unknown quantity or crop, NotUnderstood, WrongUnit and
    OutOfRange for anything wrong with a figure.
    """
    asked = _find(quantity)
    _check_names(asked, typed)
    given, labels = _given(asked, typed)
    unit = _unit_for(asked, given, labels, to)
    si, pieces = _worked_out(asked, given)
    value = _out(si, unit, given)
    leans_on = dict(asked.leans_on(given))
    if given.crop and any(map(units.counts_bushels, [unit, *labels.values()])):
        leans_on["bushel_mass"] = given.crop.bushel_mass
    parts = {name: _out(piece, unit, given) for name, piece in pieces.items()}
    return Answer(
        quantity=quantity,
        kind=asked.kind,
        value=value,
        unit=unit,
        evidence=_weakest([asked.evidence, *(e.evidence for e in leans_on.values())]),
        source=asked.source,
        leans_on=MappingProxyType(leans_on),
        parts=MappingProxyType(parts),
        notes=asked.notes(given),
    )
