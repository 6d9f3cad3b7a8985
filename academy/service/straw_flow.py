"""Straw that a cut at some height takes in, and what it does behind the header."""

from collections.abc import Mapping
from types import MappingProxyType

from academy.catalog import crops
from academy.catalog.evidence import Evidenced
from academy.engine import processing
from academy.errors import NotUnderstood
from academy.language import marked
from academy.service.quantity import Asked, Given, Quantity, call

_SHORT, _RATIO, _RATE = Asked("short_length"), Asked("ratio"), Asked("mass_rate")
_CURVE = marked(
    "The curve goes through the two feedrates you gave; between and beyond them it is "
    "only an illustration."
)


def _straw_left(given: Given) -> Mapping[str, Evidenced]:
    """The crop's own share that the highest cut leaves; nothing when it was typed."""
    if "straw-left" in given.si:
        return {}
    if given.crop_key not in crops.known():
        raise NotUnderstood("missing_argument", name="straw-left")
    key = given.crop_key
    return {f"{key}.straw_left": crops.load(key).coefficients["straw_left"]}


def _taken(given: Given) -> float:
    own = [entry.si()[1] for entry in _straw_left(given).values()]
    share = own[0] if own else given["straw-left"]
    heights = (given["cut-height"], given["crop-height"])
    return float(processing.straw_taken(given["mog-ratio"], *heights, share))


QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {
        "straw-taken": Quantity(
            "ratio",
            {
                "mog-ratio": _RATIO,
                "cut-height": _SHORT,
                "crop-height": _SHORT,
                "straw-left": Asked("share", needed=False),
            },
            _taken,
            "kim-gregory-2015",
            evidence="judgement",
            leans_on=_straw_left,
        ),
        "mog-feedrate": Quantity(
            "mass_rate",
            {
                "ground-speed": Asked("ground_speed"),
                "width": Asked("length"),
                "yield": Asked("crop_yield"),
                "mog-ratio": _RATIO,
            },
            call(
                processing.mog_feedrate, "ground-speed", "width", "yield", "mog-ratio"
            ),
            "mass-balance",
        ),
        "processing-loss": Quantity(
            "share",
            {"feedrate": _RATE, "feedrate-at-1": _RATE, "feedrate-at-3": _RATE},
            call(
                processing.processing_share,
                *("feedrate", "feedrate-at-1", "feedrate-at-3"),
            ),
            "nyborg-1967",
            crop=False,
            evidence="judgement",
            notes=lambda _given: (_CURVE,),
        ),
        "tip-speed": Quantity(
            "bat_speed",
            {"diameter": _SHORT, "turn-rate": Asked("reel_speed")},
            call(processing.tip_speed, "diameter", "turn-rate"),
            "kinematics",
            crop=False,
        ),
    }
)
