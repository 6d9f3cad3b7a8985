"""Where the lowest pod hangs, what straw a cut takes in, and what that does."""

from collections.abc import Mapping
from types import MappingProxyType

from academy.catalog import crops, standards
from academy.catalog.evidence import Evidenced
from academy.engine import processing, stubble
from academy.errors import NotUnderstood
from academy.language import marked
from academy.service.quantity import Asked, Given, Quantity, call, lent

_SHORT, _RATIO, _RATE = Asked("short_length"), Asked("ratio"), Asked("mass_rate")
_DENSITY = Asked("count_density")
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


def _exponent(given: Given) -> Mapping[str, Evidenced]:
    if "exponent" in given.si:
        return {}
    return {"pod_density_exponent": standards.load().pod_density_exponent}


def _lowest_pod(given: Given) -> float:
    own = standards.load().pod_density_exponent
    height = stubble.lowest_pod_height(
        given["usual-height"],
        given["density"],
        given["usual-density"],
        lent(given, "exponent", own),
    )
    return float(height)


QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {
        "lowest-pod": Quantity(
            "short_length",
            {
                "usual-height": _SHORT,
                "density": _DENSITY,
                "usual-density": _DENSITY,
                "exponent": Asked("ratio", needed=False),
            },
            _lowest_pod,
            "lowest-pod-trials",
            crop=False,
            leans_on=_exponent,
        ),
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
