"""A reel out of step on the header of some facts: where it stands, what it loses."""

from academy.drawing.axis import marked as marks_of
from academy.drawing.reel_front import ReelView, reel_front
from academy.engine.conditions import Settings
from academy.engine.reel_sections import ReelSectionsState
from academy.language import Reader, gettext, marked, number, show
from academy.scenarios.facts import Facts
from academy.scenarios.reel_across import THIRDS, ReelAcross, Third, reel_across
from academy.service.pictures import picture
from academy.service.views import Picture

_MARKS = 3
_LEAST_SEEN = 0.01  # the scale of losses reaches at least so far


def _words(reader: Reader) -> dict[str, str]:
    texts = {
        "title": marked("The reel over the bar, seen from the cab"),
        "description": marked(
            "Where the arms hold the axle over the width, and what the reel loses at "
            "each place. Sizes of the losses are calibrated, their directions sure."
        ),
        "left": marked("left third"),
        "centre": marked("middle third"),
        "right": marked("right third"),
        "offset": marked("axle over what is set, mean"),
        "gap": marked("least gap to the raised bar"),
        "shatter": marked("knocked out by the tines"),
        "loose_stalk": marked("stalks not carried in"),
        "axle": marked("axle of the reel on its arms"),
        "tines": marked("tines, down to their tips"),
        "raised": marked("bar in its raised position"),
        "allowed": marked("tips no lower than this"),
        "bar": marked("bar down"),
        "in_step": marked("loss of a reel in step"),
        "losses": marked("Loss at the reel, % of the crop"),
        "near": marked("too near"),
        "stretched": marked("Heights are drawn {times} times as large as widths."),
        "measure": marked("Measure"),
    }
    return {kind: gettext(text, reader.language) for kind, text in texts.items()}


def _values(third: Third, reader: Reader) -> dict[str, str]:
    lost = {name: show(share, "share", reader) for name, share in third.pieces.items()}
    return {
        "offset": show(third.offset, "short_length", reader),
        "gap": show(third.gap, "short_length", reader),
        **lost,
    }


def _view(made: ReelAcross, yours: bool) -> ReelView:
    m = made.machine
    return ReelView(
        width=float(m.width),
        arms=made.arms,
        axle=made.axle,
        tip_radius=float(m.reel_tip_radius),
        bar_rise=float(m.bar_rise),
        least_gap=float(m.least_finger_gap),
        pieces=made.pieces,
        in_step=made.in_step,
        yours=yours,
    )


def _marks(made: ReelAcross, reader: Reader) -> list[tuple[float, str]]:
    """Marks of the losses' scale, written in per cent."""
    most = max(map(sum, zip(*made.pieces.values(), strict=True)))
    high = 100.0 * max(most, made.in_step, _LEAST_SEEN)

    def written(value: float, decimals: int) -> str:
        return number(value, decimals, reader.language)

    marks = marks_of(0.0, high, _MARKS, written)
    return [(value / 100.0, label) for value, label in marks]


def reel_sections_picture(
    facts: Facts,
    settings: Settings,
    state: ReelSectionsState,
    reader: Reader,
    ids: str = "reel",
    yours: bool = False,
) -> Picture:
    """The reel of the facts from the front as its arms stand, with what it loses.

    Raises OutOfRange when an input lies where it cannot be.
    """
    made, words = reel_across(facts, settings, state), _words(reader)
    values = {
        name: _values(third, reader)
        for name, third in zip(THIRDS, made.thirds, strict=True)
    }
    marks = _marks(made, reader)
    drawn = reel_front(_view(made, yours), words, values, marks, f"{ids}-front")
    return picture(drawn, words["title"])
