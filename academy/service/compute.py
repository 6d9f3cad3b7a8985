"""One figure from typed ones, for ``academy compute``: what it is and how we know it.

Every figure is typed with its unit (``42in``, ``3 mph``, ``25 %``); only ratios and
counts may stand bare. The command line reads strictly: no comma is a decimal mark.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from academy import units
from academy.catalog import grains
from academy.catalog.evidence import Evidenced
from academy.catalog.grains import Grain
from academy.engine import capacity, counting, economics, grain, knife, moisture, reel
from academy.errors import NotFound, NotUnderstood, OutOfRange

WEAKER = ("published", "derived", "practice", "memory", "judgement")


@dataclass(frozen=True, slots=True)
class Given:
    """Typed figures in SI by name, and the grain of the crop that was named."""

    si: Mapping[str, float]
    crop: Grain | None = None

    def __getitem__(self, name: str) -> float:
        return self.si[name]


@dataclass(frozen=True, slots=True)
class Asked:
    """One figure a quantity needs: its kind in ``units.KINDS``."""

    kind: str
    needed: bool = True


@dataclass(frozen=True, slots=True)
class Quantity:
    """How one quantity is computed; ``like`` names the figure whose unit it takes."""

    kind: str
    asks: Mapping[str, Asked]
    formula: Callable[[Given], float]
    source: str
    crop: bool | None = None  # needed, never taken, or (None) taken where it matters
    like: str | None = None
    evidence: str = "derived"
    leans_on: Callable[[Given], Mapping[str, Evidenced]] = field(default=lambda _: {})


@dataclass(frozen=True, slots=True)
class Answer:
    """A figure with its unit, the weakest evidence in it, and all it leans on."""

    quantity: str
    kind: str
    value: float
    unit: str
    evidence: str
    source: str
    leans_on: Mapping[str, Evidenced]


def _kernel_entry(given: Given) -> Mapping[str, Evidenced]:
    """The crop's own entry for the weight of a kernel; nothing when it was typed."""
    if "kernel-weight" in given.si or given.crop is None:
        return {}
    for name in ("kernels_per_bushel_area", "kernel_mass"):
        entry: Evidenced | None = getattr(given.crop, name)
        if entry is not None:
            return {name: entry}
    raise NotUnderstood("missing_argument", name="kernel-weight")


def _kernel_mass(given: Given) -> float:
    for name, entry in _kernel_entry(given).items():
        if name == "kernel_mass" or given.crop is None:
            return entry.si()[1]
        one_bushel = units.to_si(1.0, "bu/ac", given.crop.bushel)
        return float(grain.kernel_mass_for(one_bushel, entry.si()[1]))
    return given["kernel-weight"]


def _loss_from_count(given: Given) -> float:
    mass = _kernel_mass(given)
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


def _call(formula: Callable[..., object], *names: str) -> Callable[[Given], float]:
    """The formula fed with the figures ``names``, in its own order."""

    def fed(given: Given) -> float:
        return float(formula(*(given[name] for name in names)))  # type: ignore[arg-type]

    return fed


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
            _call(reel.entry_speed, "ground-speed", "reel-index"),
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
            _call(
                reel.entry_axle_height,
                *("crop-height", "cut-height", "tip-radius", "reel-index"),
            ),
            "kinematics",
            crop=False,
        ),
        "advance-per-stroke": Quantity(
            "small_length",
            {"ground-speed": _SPEED, "stroke-rate": Asked("stroke_rate")},
            _call(knife.advance_per_stroke, "ground-speed", "stroke-rate"),
            "kinematics",
            crop=False,
        ),
        "field-capacity": Quantity(
            "area_rate",
            {"width": _LENGTH, "ground-speed": _SPEED, "field-efficiency": _SHARE},
            _call(capacity.field_capacity, "width", "ground-speed", "field-efficiency"),
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
            leans_on=_kernel_entry,
        ),
        "loss-share": Quantity(
            "share",
            {"loss": Asked("loss_mass"), "yield": Asked("crop_yield")},
            _call(counting.loss_share, "loss", "yield"),
            "mass-balance",
        ),
        "moisture-shrink": Quantity(
            "mass",
            {
                "mass": Asked("mass"),
                "from-moisture": _MOISTURE,
                "to-moisture": _MOISTURE,
            },
            _call(moisture.shrink, "mass", "from-moisture", "to-moisture"),
            "mass-balance",
            like="mass",
        ),
        "cost-of-loss": Quantity(
            "money_per_area",
            {"loss": Asked("loss_mass"), "price": Asked("price")},
            _cost_of_loss,
            "mass-balance",
        ),
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
    if value < 0:
        raise OutOfRange("must_not_be_negative", name=name, value=text.strip())
    return value, label


def _weakest(classes: Sequence[str]) -> str:
    return max(classes, key=WEAKER.index)


def _unit_for(asked: Quantity, labels: Mapping[str, str], to: str | None) -> str:
    """Label of the answer: the one asked for, one typed, or the kind's own."""
    if to is not None:
        return units.read(f"1 {to}", units.labels_for(asked.kind), None)[1]
    return labels[asked.like] if asked.like else units.KINDS[asked.kind].us


def compute(quantity: str, typed: Mapping[str, str], to: str | None = None) -> Answer:
    """The figure ``quantity`` from typed figures, in ``to`` or an ordinary unit.

    Raises NotFound for an unknown quantity or crop, NotUnderstood, WrongUnit and
    OutOfRange for anything wrong with a figure.
    """
    asked = _find(quantity)
    _check_names(asked, typed)
    crop = grains.of(typed["crop"].strip()) if "crop" in typed else None
    bushel = crop.bushel if crop else None
    read = {
        n: _read(n, asked.asks[n], text) for n, text in typed.items() if n != "crop"
    }
    labels = {name: label for name, (_, label) in read.items()}
    unit = _unit_for(asked, labels, to)
    si = {n: float(units.to_si(v, label, bushel)) for n, (v, label) in read.items()}
    given = Given(MappingProxyType(si), crop)
    value = float(units.from_si(asked.formula(given), unit, bushel))
    if not math.isfinite(value):
        raise OutOfRange("result_not_finite")
    leans_on = dict(asked.leans_on(given))
    if crop and any(map(units.counts_bushels, [unit, *labels.values()])):
        leans_on["bushel_mass"] = crop.bushel_mass
    return Answer(
        quantity=quantity,
        kind=asked.kind,
        value=float(f"{value:.9g}"),
        unit=unit,
        evidence=_weakest([asked.evidence, *(e.evidence for e in leans_on.values())]),
        source=asked.source,
        leans_on=MappingProxyType(leans_on),
    )
