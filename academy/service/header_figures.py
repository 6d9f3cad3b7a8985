"""Knife, belts and ground: figures of the header that follow from a few typed ones."""

from collections.abc import Mapping
from types import MappingProxyType

from academy.catalog import coefficients, standards
from academy.catalog.evidence import Evidenced
from academy.engine import draper, ground, knife
from academy.errors import OutOfRange
from academy.language import marked
from academy.service.quantity import Asked, Given, Quantity, call, lent

_SHORT, _LENGTH, _SPEED = (
    Asked("short_length"),
    Asked("length"),
    Asked("ground_speed"),
)
_BELT = Asked("belt_speed")
_MEAN = marked(
    "This is the mean over a stroke. Driven by a crank, the knife stands still at both "
    "ends and runs more than half again as fast in the middle."
)


def _gravity(_given: Given) -> Mapping[str, Evidenced]:
    return {"standard_gravity": standards.load().standard_gravity}


def _throw(given: Given) -> float:
    gravity = standards.load().standard_gravity.si()[1]
    return float(draper.belt_throw(given["belt-speed"], given["drop"], gravity))


def _density(given: Given) -> Mapping[str, Evidenced]:
    if "mat-density" in given.si:
        return {}
    return {"mat_density": coefficients.common()["mat_density"]}


def _mat(given: Given) -> float:
    entry = coefficients.common()["mat_density"]
    return float(
        draper.mat_depth(
            given["yield"] * (1.0 + given["mog-ratio"]),
            given["ground-speed"],
            given["side-width"],
            lent(given, "mat-density", entry),
            given["belt-speed"],
            given["belt-depth"],
        )
    )


def _wavenumber(_given: Given) -> Mapping[str, Evidenced]:
    name = "reference_wavenumber"
    return {name: coefficients.common()[name]}


def _rough(given: Given) -> float:
    longest, shortest = given["longest-wave"], given["shortest-wave"]
    if not 0.0 < shortest <= longest:
        raise OutOfRange("waves_turned_round")
    reference = coefficients.common()["reference_wavenumber"].si()[1]
    height = ground.roughness_height(
        given["roughness"], 1.0 / longest, 1.0 / shortest, reference
    )
    return float(height)


QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {
        "knife-speed": Quantity(
            "knife_speed",
            {"stroke": _SHORT, "stroke-rate": Asked("stroke_rate")},
            call(knife.mean_knife_speed, "stroke", "stroke-rate"),
            "kinematics",
            crop=False,
            notes=lambda _given: (_MEAN,),
        ),
        "cut-length": Quantity(
            "short_length",
            {"cut-height": _SHORT, "deflection": _SHORT},
            call(knife.stubble_length, "cut-height", "deflection"),
            "kinematics",
            crop=False,
        ),
        "throw-distance": Quantity(
            "short_length",
            {"belt-speed": _BELT, "drop": _SHORT},
            _throw,
            "kinematics",
            crop=False,
            leans_on=_gravity,
        ),
        "mat-depth": Quantity(
            "short_length",
            {
                "yield": Asked("crop_yield"),
                "mog-ratio": Asked("ratio"),
                "ground-speed": _SPEED,
                "side-width": _LENGTH,
                "belt-speed": _BELT,
                "belt-depth": _SHORT,
                "mat-density": Asked("density", needed=False),
            },
            _mat,
            "mass-balance",
            leans_on=_density,
        ),
        "ground-roughness": Quantity(
            "small_length",
            {
                "roughness": Asked("roughness"),
                "longest-wave": _LENGTH,
                "shortest-wave": _LENGTH,
            },
            _rough,
            "kinematics",
            crop=False,
            leans_on=_wavenumber,
        ),
    }
)
