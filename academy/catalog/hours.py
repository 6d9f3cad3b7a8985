"""What a crop's hours are reckoned with: days, isotherm, window and waiting."""

from academy.catalog import crops, days, isotherms
from academy.engine.hour import Hours


def hours_of(crop: str, daily_loss: float | None = None) -> Hours:
    """The engine's record of a crop's hours; raises NotFound, ContentError.

    ``daily_loss`` [1/s] is the farm's own figure; without one it is the published one,
    and none where nobody measured it.
    """
    known = crops.load(crop)
    if daily_loss is None:
        daily_loss = known.delay.daily_loss.si()[1] if known.delay else 0.0
    return Hours(
        days={key: days.engine_of(key) for key in days.load()},
        usual=days.USUAL,
        isotherm=isotherms.engine_of(crop),
        daily_loss=daily_loss,
        lowest_moisture=known.window.lowest_moisture.si()[1],
        highest_moisture=known.window.highest_moisture.si()[1],
    )
