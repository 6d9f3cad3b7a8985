"""What the engine and the references say of a value measured in the yard.

A judge takes what was entered for an item, numbers as typed (``[0.6, "mm"]``), and says
whether it is in order, and what to do when it is not. Figures are the engine's own
beliefs, the header's, the crop's targets, or those of ``content/yard.toml``.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from statistics import fmean
from types import MappingProxyType
from typing import Any

from academy import units
from academy.catalog import crops, grains, parts, yard
from academy.catalog.crops import Crop
from academy.catalog.headers import Header
from academy.engine import counting, guard, knife_fit
from academy.errors import NotUnderstood, WrongUnit
from academy.grading.numeric import full_tolerance, numeric_score
from academy.language import (
    Reader,
    gettext,
    marked,
    plain_number,
    show,
    with_unit,
)
from academy.service import loss_split
from academy.service.loss_split import Counts, Split
from academy.service.quantity import kernel_of

Entered = Mapping[str, Any]
TENTH_MM = 1e-4  # a feeler gauge's last digit [m]
NEXT_TO_NOTHING = 1e-9  # what turning units may add [m]


@dataclass(frozen=True, slots=True)
class Judged:
    """Whether a value is in order, and what to say of it: messages with their values.

    A value is a figure as it was typed, with its unit, or an SI figure with its kind
    and, where it stands beside a typed one, that one's unit.
    """

    right: bool
    messages: tuple[tuple[str, Mapping[str, Any]], ...]
    bushel: float | None = None

    def said(self, reader: Reader) -> str:
        """The messages in the reader's words and units."""
        return " ".join(
            gettext(text, reader.language)
            % {name: self._shown(value, reader) for name, value in values.items()}
            for text, values in self.messages
        )

    def _shown(self, value: Any, reader: Reader) -> str:
        figure, kind, *typed = value
        if kind in units.LABELS:
            shown = plain_number(figure, reader.language)
            return with_unit(shown, kind, reader.language)
        for system in ("us", "metric"):
            if typed == [units.KINDS[kind].shown(system)[0]]:
                reader = Reader(reader.language, system)
        return show(figure, kind, reader, self.bushel)


def _si(entered: Entered, key: str, bushel: float | None = None) -> float:
    value, label = entered[key]
    return float(units.to_si(value, label, bushel))


def _typed(entered: Entered, key: str) -> tuple[float, str]:
    value, label = entered[key]
    return value, label


TOO_WIDE = marked(
    "%(gap)s: too wide, put it right and measure again. %(widest)s or less is in "
    "order; the machine's own book comes first."
)
PINCHED = marked("%(gap)s, but the knife pinches: put it right and measure again.")
GAP_RIGHT = marked("%(gap)s: in order, and the knife is free.")
MAY_RUB = marked("So small a gap may rub: compare the heat after the run-in.")


def hold_down_gap(entered: Entered, _header: Header) -> Judged:
    """A gap no wider than 1/32 in, as a gauge reads it (0.8 mm), and a free knife."""
    believed = parts.load("knife").values
    widest = round(believed.widest_clearance / TENTH_MM) * TENTH_MM
    gap, free = _si(entered, "gap"), entered["free"] == "yes"
    value, label = entered["gap"]
    told = {"gap": (value, label), "widest": (widest, "gap", label)}
    if gap > widest + NEXT_TO_NOTHING:
        return Judged(False, ((TOO_WIDE, told),))
    if not free:
        return Judged(False, ((PINCHED, told),))
    rubs = float(knife_fit.tightness(gap, believed.free_clearance)) > 0.0
    return Judged(True, ((GAP_RIGHT, told), *(((MAY_RUB, {}),) if rubs else ())))


BANDS = {
    "cold": marked(
        "%(heat)s: cold, so it tells nothing yet. Run it in for about 15 minutes, stop "
        "safely and read again."
    ),
    "normal": marked("%(heat)s: a normal running heat."),
    "watch": marked(
        "%(heat)s: warmer than the normal %(low)s to %(high)s. Read it again after the "
        "first hour of work."
    ),
    "act": marked(
        "%(heat)s: too hot, above %(act)s it is being damaged. Find out why, put it "
        "right, run it in and read again."
    ),
    "stop": marked(
        "%(heat)s: shut the machine down now and keep it off until the cause is found. "
        "%(stop)s and more is far too hot."
    ),
}


def bearing_temperature(entered: Entered, _header: Header) -> Judged:
    """A bearing that runs normally, to the whole degree as thermometers read."""
    believed = parts.load("knife").values
    value, label = entered["temperature"]

    def whole(kelvin: float) -> float:
        return float(units.to_si(float(round(units.from_si(kelvin, label))), label))

    read = whole(float(units.to_si(value, label)))
    guard.positive("bearing_temperature", read)
    limits = [
        whole(getattr(believed, f"bearing_{name}"))
        for name in ("normal_low", "normal_high", "act", "stop")
    ]
    band = knife_fit.BANDS[int(knife_fit.bearing_band(read, *limits))]
    names = ("low", "high", "act", "stop")
    told: dict[str, Any] = {
        name: (limit, "temperature", label)
        for name, limit in zip(names, limits, strict=True)
    }
    told["heat"] = (value, label)
    return Judged(band in ("normal", "watch"), ((BANDS[band], told),))


TOO_NEAR = marked(
    "%(clearance)s: too near, put it right and measure again. At least %(least)s with "
    "the bar raised."
)
FAR_ENOUGH = marked("%(clearance)s: in order, at least %(least)s with the bar raised.")


def tine_clearance(entered: Entered, header: Header) -> Judged:
    """Tines no nearer to the raised bar than the header allows."""
    least = header.measures.least_finger_gap.si()[1]
    value, label = entered["clearance"]
    right = _si(entered, "clearance") >= least - NEXT_TO_NOTHING
    told = {"clearance": (value, label), "least": (least, "small_length", label)}
    return Judged(right, ((FAR_ENOUGH if right else TOO_NEAR, told),))


BOOK_RIGHT = marked("%(reading)s: within the book's %(low)s to %(high)s.")
BOOK_WRONG = marked(
    "%(reading)s: not within the book's %(low)s to %(high)s. Set it by the book and "
    "read again."
)
BOOK_KINDS = ("force", "force_per_width", "pressure")
BOOK_LABELS = tuple(label for kind in BOOK_KINDS for label in units.labels_for(kind))
"""Units that a machine's own book may give a ground pressure in."""


def by_the_book(entered: Entered, _header: Header) -> Judged:
    """A reading within the range that was typed from the machine's own book."""
    told = {
        name: _typed(entered, key)
        for name, key in (("low", "book_low"), ("high", "book_high"))
    }
    told["reading"] = _typed(entered, "reading")
    measured = {units.si_of(label) for _value, label in told.values()}
    if len(measured) > 1:
        raise WrongUnit("book_measures_otherwise")
    low, high, reading = (
        _si(entered, key) for key in ("book_low", "book_high", "reading")
    )
    if low > high:
        raise NotUnderstood("book_range_turned")
    slack = NEXT_TO_NOTHING * max(abs(high), 1.0)
    right = low - slack <= reading <= high + slack
    return Judged(right, ((BOOK_RIGHT if right else BOOK_WRONG, told),))


MATCHES = marked("Sections, pitch and length match.")
SEEN_TO_MATCH = marked("They match, but the person said they do not.")
UNLIKE = {
    "sections": marked("The sections differ."),
    "pitch": marked("The pitch differs: %(fitted)s fitted, %(spare)s spare."),
    "length": marked("The length differs: %(fitted)s fitted, %(spare)s spare."),
}
ORDER_ONE = marked("Right, it does not match: have one that does before harvest.")
NOT_SEEN = marked("The person said it matches. Measure again together.")


def spare_knife(entered: Entered, _header: Header) -> Judged:
    """Whether the person says rightly that a spare knife matches the fitted one."""
    rule, apart = yard.rule(), []
    if entered["fitted_sections"] != entered["spare_sections"]:
        apart.append("sections")
    for what in ("pitch", "length"):
        off = abs(_si(entered, f"fitted_{what}") - _si(entered, f"spare_{what}"))
        if off > rule.si(f"knife_{what}_apart") + NEXT_TO_NOTHING:
            apart.append(what)
    said_fits = entered["fits"] == "yes"
    if not apart:
        return Judged(said_fits, ((MATCHES if said_fits else SEEN_TO_MATCH, {}),))
    told: list[tuple[str, Mapping[str, Any]]] = [
        (UNLIKE[what], _pair(entered, what)) for what in apart
    ]
    told.append((NOT_SEEN if said_fits else ORDER_ONE, {}))
    return Judged(not said_fits, tuple(told))


def _pair(entered: Entered, what: str) -> Mapping[str, Any]:
    if what == "sections":
        return {}
    return {side: _typed(entered, f"{side}_{what}") for side in ("fitted", "spare")}


COUNTED = marked("The counts give %(loss)s at the header, %(share)s of the crop.")
ROUNDED = 0.05
"""A figure rounded to one decimal counts when it lies within this share of the exact
one: 0.9 bu/ac for 0.875, which people write so, but not 0.1 for 0.06."""
OWN_RIGHT = marked("The person's %(own)s is right.")
OWN_WRONG = marked("The person's %(own)s is off: work it out again.")
WITHIN = marked("%(judged)s is lost; up to %(target)s is acceptable.")
BEYOND = marked("%(judged)s is lost, more than %(target)s: change one thing.")
SAID_OTHERWISE = marked("The person said otherwise: talk it over and count again.")


def loss_check(entered: Entered, _header: Header) -> Judged:
    """Whether the person's own figure and verdict follow from the counts."""
    crop, grain = crops.load(entered["crop"]), grains.of(entered["crop"])
    found = _counted(entered, kernel_of(grain)[1])
    harvested = _si(entered, "crop_yield", grain.bushel)
    share = float(counting.loss_share(found.header, harvested))
    judged, target = _against(crop, found, harvested)
    own, label = entered["own"]
    figure_right = _same(own, float(units.from_si(found.header, label, grain.bushel)))
    close = abs(judged / target - 1.0) <= full_tolerance(target)
    verdict_right = close or (entered["verdict"] == "good") == (judged <= target)
    told = {
        "loss": (found.header, "loss_mass"),
        "share": (share, "share"),
        "own": (own, label),
        "judged": (judged, "share"),
        "target": (target, "share"),
    }
    messages = [COUNTED, OWN_RIGHT if figure_right else OWN_WRONG]
    messages.append(WITHIN if judged <= target else BEYOND)
    messages += [] if verdict_right else [SAID_OTHERWISE]
    return Judged(
        figure_right and verdict_right,
        tuple((text, told) for text in messages),
        grain.bushel,
    )


def _counted(entered: Entered, kernel: float) -> Split:
    """Losses by place; raises NotUnderstood for too few frames, OutOfRange."""
    least = int(yard.rule().si("least_frames"))
    for place in ("ahead", "under", "behind"):
        if len(entered[place]) < least:
            raise NotUnderstood(
                "too_few_frames", value=len(entered[place]), least=least
            )
    means = [fmean(entered[place]) for place in ("ahead", "under", "behind")]
    sizes = [
        _si(entered, key) for key in ("frame_area", "cut_width", "discharge_width")
    ]
    return loss_split.split(Counts(*means, *sizes), kernel)


def _against(crop: Crop, found: Split, harvested: float) -> tuple[float, float]:
    """The share that a target is known for, and that target: header's, else all."""
    target = crop.targets.header or crop.targets.total
    lost = found.header if crop.targets.header else found.total
    return float(counting.loss_share(lost, harvested)), target.si()[1]


def _same(own: float, key: float) -> bool:
    if key == 0.0:
        return own == 0.0
    rounded = own == round(key, 1) and abs(own / key - 1.0) <= ROUNDED
    return rounded or numeric_score(own, key) >= 1.0


JUDGES: Mapping[str, tuple[Callable[[Entered, Header], Judged], tuple[str, ...]]] = (
    MappingProxyType(
        {
            "hold-down-gap": (hold_down_gap, ("gap", "free")),
            "bearing-temperature": (bearing_temperature, ("temperature",)),
            "tine-clearance": (tine_clearance, ("clearance",)),
            "by-the-book": (by_the_book, ("book_low", "book_high", "reading")),
            "spare-knife": (
                spare_knife,
                (
                    *(
                        "fitted_sections",
                        "spare_sections",
                        "fitted_pitch",
                        "spare_pitch",
                    ),
                    *("fitted_length", "spare_length", "fits"),
                ),
            ),
            "loss-check": (
                loss_check,
                (
                    *("crop", "ahead", "under", "behind", "frame_area", "cut_width"),
                    *("discharge_width", "crop_yield", "own", "verdict"),
                ),
            ),
        }
    )
)
"""How each kind of measured item is judged, and the inputs that it needs."""


def judged(judge: str, entered: Entered, header: Header) -> Judged:
    """What a judge says; raises NotUnderstood, OutOfRange, WrongUnit, LookupError."""
    return JUDGES[judge][0](entered, header)
