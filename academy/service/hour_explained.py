"""The moisture of grain and stems through a day, and the hours fit to cut."""

import math
from dataclasses import dataclass, replace
from itertools import groupby
from operator import itemgetter

from academy import units
from academy.catalog import crops, days, hours, isotherms, parts, stands
from academy.catalog.days import USUAL
from academy.drawing.day_curve import FIRST, LAST, DayView, Limit, Span, day_curve
from academy.engine import day_moisture, hour
from academy.engine.hour import HourCoefficients, Through, Window
from academy.engine.readings import Flags
from academy.engine.si import Ratio
from academy.engine.stand import Stand
from academy.language import Reader, gettext, marked, number, show
from academy.service.grain_in_air import FORM_NAMES
from academy.service.pictures import picture
from academy.service.views import Picture

_EVERY = 3  # hours between two rows of the table


@dataclass(frozen=True, slots=True)
class HourAsked:
    """A crop on a kind of day, as a field was sampled; SI, None for ordinary."""

    crop: str
    day: str = USUAL
    moisture: float | None = None
    lodging: float = 0.0
    green_stems: float | None = None
    at: float | None = None  # the cut, seconds from midnight


@dataclass(frozen=True, slots=True)
class DayOfCrop:
    """A day worked out: moistures are wet basis, spans are hours from midnight."""

    through: Through
    grain: day_moisture.Floats
    stems: day_moisture.Floats
    window: Window
    stand: Stand

    @property
    def open_hours(self) -> list[Span]:
        """Spans of hours fit to cut."""
        return _spans(self.window.open)

    @property
    def dew_hours(self) -> list[Span]:
        """Spans of hours with dew or fog."""
        return _spans(self.through.dew)


def _spans(flags: Flags) -> list[Span]:
    """Runs of true moments of the drawn part of the day, in hours."""
    runs = groupby(enumerate(map(bool, flags)), key=itemgetter(1))  # type: ignore[arg-type]
    found = []
    for true, run in runs:
        places = [place for place, _ in run]
        start, end = (24.0 * k / hour.MOMENTS for k in (places[0], places[-1] + 1))
        if true and end > FIRST and start < LAST:
            found.append((max(start, FIRST), min(end, LAST)))
    return found


def day_of(asked: HourAsked) -> DayOfCrop:
    """The day of a crop; raises NotFound, OutOfRange."""
    c: HourCoefficients = parts.load("hour").values
    known, stand = hours.hours_of(asked.crop), stands.stand_of(asked.crop)
    if asked.green_stems is not None:
        stand = replace(stand, green_stems=asked.green_stems)
    sample = crops.load(asked.crop).conditions.moisture.si()[1]
    sample = sample if asked.moisture is None else asked.moisture
    here, read = (
        hour.through_day(
            day=days.engine_of(key),
            isotherm=known.isotherm,
            lodging=asked.lodging,
            c=c,
        )
        for key in (asked.day, known.usual)
    )
    step = known.days[known.usual].length / hour.MOMENTS
    grain, stems = (
        hour.told_over(value, now, day_moisture.at_hour(then, c.reading_time, step))
        for value, now, then in (
            (
                sample,
                hour.whole_grain(here, read, c),
                hour.whole_grain(read, read, c),
            ),
            (stand.stem_moisture, here.stem, read.stem),
        )
    )
    window = hour.cutting_window(
        grain=grain,
        stem=stems,
        stand=stand,
        hours=known,
        tough=parts.load("stand").values,
        c=c,
    )
    return DayOfCrop(here, grain, stems, window, stand)


def tough_moisture(stand: Stand) -> float | None:
    """Stem moisture from which the stems are too tough; None when green ones are."""
    c, tough = parts.load("hour").values, parts.load("stand").values
    green = float(stand.green_stems)
    if green >= c.tough_limit:
        return None
    share = (c.tough_limit - green) / (1.0 - green)
    odds = math.log(share / (1.0 - share))
    return float(tough.tough_moisture + tough.tough_moisture_width * odds)


def _limits(
    asked: HourAsked, made: DayOfCrop, reader: Reader
) -> dict[str, list[Limit]]:
    def limit(value: Ratio, text: str) -> Limit:
        said = gettext(text, reader.language) % {
            "moisture": show(float(value), "moisture", reader)
        }
        return Limit(100.0 * float(value), said)

    known = hours.hours_of(asked.crop)
    low, high = known.lowest_moisture, known.highest_moisture
    tough = tough_moisture(made.stand)
    return {
        "grain": [
            limit(high, marked("too damp above %(moisture)s")),
            limit(low, marked("shatter rises below %(moisture)s")),
        ],
        "stems": []
        if tough is None
        else [limit(tough, marked("too tough above %(moisture)s"))],
    }


def _words(asked: HourAsked, reader: Reader) -> dict[str, str]:
    say = reader.language
    texts = {
        "title": marked("%(crop)s through a day: %(day)s"),
        "description": marked(
            "Grain above, stems below, from 6 in the morning to midnight. The skin of "
            "a grain follows the day, its core keeps the mean of ordinary days; the "
            "field was sampled at 2 in the afternoon of one."
        ),
        "x": marked("hour of the day"),
        "grain": marked("moisture of the grain, %%"),
        "stems": marked("moisture of dry stems, %%"),
        "window": marked("fit to cut"),
        "shut": marked("fit to cut: no hour of this day"),
        "dew": marked("dew or fog on the crop"),
        "at": marked("the cut"),
        "hour": marked("Hour"),
        "temperature": marked("Air"),
        "humidity": marked("Humidity in the crop"),
        "grain_head": marked("Grain"),
        "stems_head": marked("Stems"),
        "fit": marked("To cut"),
    }
    named = {
        "crop": _capital(crops.load(asked.crop).name.for_language(say)),
        "day": days.load()[asked.day].name.for_language(say),
    }
    return {kind: gettext(text, say) % named for kind, text in texts.items()}


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def model_note(crop: str, reader: Reader) -> str:
    """Which form tells the swing, and whose it is."""
    own = isotherms.swings_like(crop)
    said = gettext(FORM_NAMES[isotherms.of(own).form], reader.language)
    if own == crop:
        return said
    lent = gettext(
        marked("No form for %(crop)s was found: it swings as %(other)s does."),
        reader.language,
    )
    crop_name, other = (
        crops.load(key).name.for_language(reader.language) for key in (crop, own)
    )
    return f"{said} {lent % {'crop': crop_name, 'other': other}}"


_WHY = (
    ("too_dry", marked("too dry")),
    ("too_damp", marked("too damp")),
    ("too_tough", marked("stems too tough")),
)


def unfit_told(
    crop: str, moisture: Ratio, toughness: Ratio, reader: Reader
) -> tuple[str, ...]:
    """Why grain [1, wet] and stems (share that is tough) are not fit to cut, if so."""
    known, c = hours.hours_of(crop), parts.load("hour").values
    unfit = {
        "too_dry": float(moisture) < float(known.lowest_moisture),
        "too_damp": float(moisture) > float(known.highest_moisture),
        "too_tough": float(toughness) > float(c.tough_limit),
    }
    say = reader.language
    why = ", ".join(gettext(text, say) for name, text in _WHY if unfit[name])
    if not why:
        return ()
    said = gettext(marked("Not fit to cut: %(why)s."), say) % {"why": why}
    dear = marked("What damp grain costs to dry, or to sell, is not counted here.")
    return (f"{said} {gettext(dear, say)}" if unfit["too_damp"] else said,)


def _row(made: DayOfCrop, place: int, reader: Reader) -> tuple[str, ...]:
    through = made.through
    why = [text for name, text in _WHY if getattr(made.window, name)[place]]
    said = ", ".join(gettext(text, reader.language) for text in why)
    return (
        number(24.0 * place / hour.MOMENTS, 0, reader.language),
        show(float(through.temperature[place]), "temperature", reader),
        show(float(through.humidity[place]), "humidity", reader),
        show(float(made.grain[place]), "moisture", reader),
        show(float(made.stems[place]), "moisture", reader),
        said or gettext(marked("fit"), reader.language),
    )


def _spoken(made: DayOfCrop, asked: HourAsked, reader: Reader) -> list[str]:
    def told(spans: list[Span]) -> str:
        return ", ".join(f"{_clock(a)}–{_clock(b)}" for a, b in spans)

    def say(text: str) -> str:
        return gettext(text, reader.language)

    said = [model_note(asked.crop, reader)]
    if made.open_hours:
        said.append(f"{say(marked('Fit to cut'))}: {told(made.open_hours)}.")
    else:
        said.append(say(marked("No hour of this day is fit to cut.")))
    if made.dew_hours:
        said.append(f"{say(marked('Dew or fog'))}: {told(made.dew_hours)}.")
    return said


def _clock(hours: float) -> str:
    minutes = round(60.0 * hours)
    return f"{minutes // 60}:{minutes % 60:02d}"


def _in_percent(through: day_moisture.Floats) -> list[float]:
    """The day, and its midnight once more."""
    return [100.0 * float(each) for each in (*through, through[0])]


def day_picture(asked: HourAsked, reader: Reader, ids: str = "hour") -> Picture:
    """Moisture through the day with the cutting window, and its table.

    Raises NotFound for an unknown crop or day, OutOfRange.
    """
    made, words = day_of(asked), _words(asked, reader)
    limits = _limits(asked, made, reader)
    moments = [24.0 * place / hour.MOMENTS for place in range(hour.MOMENTS + 1)]
    view = DayView(
        hours=moments,
        grain=_in_percent(made.grain),
        stems=_in_percent(made.stems),
        grain_limits=limits["grain"],
        stem_limits=limits["stems"],
        window=made.open_hours,
        dew=made.dew_hours,
        at=None if asked.at is None else float(units.from_si(asked.at, "h")),
    )
    each = hour.MOMENTS // 24
    places = range(int(FIRST) * each, hour.MOMENTS, _EVERY * each)
    rows = [_row(made, place, reader) for place in places]
    spoken = _spoken(made, asked, reader)
    return picture(
        day_curve(view, words, rows, spoken, ids=f"{ids}-day"), words["title"]
    )
