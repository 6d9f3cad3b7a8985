"""Grain on the ground from a frame, a hoop, a strip or a dropped pan."""

from collections.abc import Mapping
from types import MappingProxyType

from academy.engine import counting, frames
from academy.errors import OutOfRange
from academy.service.quantity import (
    Asked,
    Given,
    Quantity,
    call,
    kernel_entry,
    kernel_mass,
)

_COUNT, _SHORT, _WIDTH = Asked("count"), Asked("short_length"), Asked("length")
_AREA, _KERNEL = Asked("area"), Asked("kernel_mass", needed=False)


def _hoop(given: Given) -> float:
    return float(
        frames.hoop_loss(given["count"], given["hoop-diameter"], kernel_mass(given))
    )


def _strip(given: Given) -> float:
    return float(
        frames.strip_loss(
            given["count"],
            given["strip-length"],
            given["cut-width"],
            kernel_mass(given),
        )
    )


def _pan(given: Given) -> float:
    cut, thrown = given["cut-width"], given["discharge-width"]
    if thrown > cut:
        raise OutOfRange("straw_wider_than_cut", value=thrown, most=cut)
    factor = counting.concentration_factor(cut, thrown)
    return float(counting.pan_loss(given["grain-mass"], given["pan-area"], factor))


def _to_find(given: Given) -> float:
    return float(counting.count_for(given["loss"], given["area"], kernel_mass(given)))


QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {
        "frame-depth": Quantity(
            "short_length",
            {"area": _AREA, "width": _WIDTH},
            call(counting.frame_depth, "area", "width"),
            "missouri-g1280",
            crop=False,
        ),
        "hoop-loss": Quantity(
            "loss_mass",
            {"count": _COUNT, "hoop-diameter": _SHORT, "kernel-weight": _KERNEL},
            _hoop,
            "burbrink-2021",
            crop=True,
            leans_on=kernel_entry,
        ),
        "strip-loss": Quantity(
            "loss_mass",
            {
                "count": _COUNT,
                "strip-length": _SHORT,
                "cut-width": _WIDTH,
                "kernel-weight": _KERNEL,
            },
            _strip,
            "kernel-worksheet",
            crop=True,
            leans_on=kernel_entry,
        ),
        "kernels-to-find": Quantity(
            "count",
            {"loss": Asked("loss_mass"), "area": _AREA, "kernel-weight": _KERNEL},
            _to_find,
            "mass-balance",
            crop=True,
            leans_on=kernel_entry,
        ),
        "concentration": Quantity(
            "ratio",
            {"cut-width": _WIDTH, "discharge-width": _WIDTH},
            call(counting.concentration_factor, "cut-width", "discharge-width"),
            "mass-balance",
            crop=False,
        ),
        "pan-loss": Quantity(
            "loss_mass",
            {
                "grain-mass": Asked("mass"),
                "pan-area": _AREA,
                "cut-width": _WIDTH,
                "discharge-width": _WIDTH,
            },
            _pan,
            "grainews",
        ),
    }
)
