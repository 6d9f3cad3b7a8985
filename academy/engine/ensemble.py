"""Many draws of what is not known well, the same draws for every option compared."""

from collections.abc import Mapping
from dataclasses import Field, fields, replace
from typing import Any, ClassVar, Protocol, TypeAlias, TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy import special

from academy.engine import guard
from academy.engine.si import Number, Ratio
from academy.errors import OutOfRange


class Figures(Protocol):
    """A data class whose fields are all figures."""

    __dataclass_fields__: ClassVar[dict[str, Field[Any]]]


B = TypeVar("B", bound=Figures)
Bounds: TypeAlias = tuple[Number, Number, Number]


def triangular(share: Number, low: Number, mode: Number, high: Number) -> Number:
    """Value below which a share of a triangular distribution lies.

    Turns evenly spread shares into values that are likeliest near the best guess.

    Parameters
    ----------
    share : [1] share of the distribution below the value, from 0 to 1
    low : least value, in any unit
    mode : likeliest value, in the same unit
    high : greatest value, in the same unit

    Returns
    -------
    value, in the same unit

    Raises
    ------
    OutOfRange : when low, mode and high are out of order

    Notes
    -----
    With ``F = (m − a)/(b − a)``: ``a + √(u (b − a)(m − a))`` for ``u < F``, else
    ``b − √((1 − u)(b − a)(b − m))``, the inverse of the distribution [kinematics].

    Examples
    --------
    >>> float(triangular(0.5, 0.0, 0.5, 1.0))
    0.5
    """
    if not bool(np.all((low <= mode) & (mode <= high))):
        raise OutOfRange("range_out_of_order", name="mode", value=mode)
    rise = low + np.sqrt(share * (high - low) * (mode - low))
    fall = high - np.sqrt((1.0 - share) * (high - low) * (high - mode))
    value: Number = np.where(share * (high - low) < mode - low, rise, fall)
    return value


def standard_normal(share: Ratio) -> Ratio:
    """Value below which a share of the standard normal distribution lies.

    Turns evenly spread shares into errors as people make them: small ones mostly.

    Parameters
    ----------
    share : [1] share of the distribution below the value, from 0 to 1

    Returns
    -------
    [1] value in standard deviations; endless at the shares 0 and 1

    Raises
    ------
    OutOfRange : when the share is no fraction

    Notes
    -----
    ``Φ⁻¹(u)``, the inverse of the normal distribution function [kinematics].

    Examples
    --------
    >>> round(float(standard_normal(0.975)), 2)
    1.96
    """
    guard.fraction("share", share)
    value: Ratio = special.ndtri(share)
    return value


def _shares(size: int, rng: np.random.Generator) -> NDArray[np.float64]:
    """One share in each of ``size`` equal strata, in a shuffled order."""
    order = np.argsort(rng.random(size), kind="stable")
    return (order + rng.random(size)) / size


def draw_named(
    bounds: Mapping[str, Bounds], size: int, seed: int
) -> dict[str, NDArray[np.float64]]:
    """``size`` draws of each quantity between its bounds, arrays of shape (size,).

    ``bounds``: low, likeliest and high of each, in any unit. A Latin hypercube: each
    quantity visits each of ``size`` equal strata of its triangular distribution once.
    Only uniform numbers of a seeded PCG64 are used, in the order of the names, so draws
    do not depend on numpy's distributions. Raises OutOfRange when bounds are out of
    order or ``size`` is not above zero.
    """
    if size < 1:
        raise OutOfRange("must_be_positive", name="size", value=size)
    rng = np.random.Generator(np.random.PCG64(seed))
    return {
        name: np.asarray(triangular(_shares(size, rng), *ends))
        for name, ends in bounds.items()
    }


def bounds_of(low: B, value: B, high: B) -> dict[str, Bounds]:
    """Low, likeliest and high by the name of each field of the records."""
    return {
        field.name: tuple(getattr(one, field.name) for one in (low, value, high))
        for field in fields(value)
    }


def draw(low: B, value: B, high: B, size: int, seed: int) -> B:
    """``size`` draws of the coefficients between their bounds, as ``draw_named``."""
    return replace(value, **draw_named(bounds_of(low, value, high), size, seed))


def column(draws: B) -> B:
    """The same draws as columns (size, 1), to meet settings of shape (options,)."""
    return replace(
        draws,
        **{
            field.name: np.reshape(getattr(draws, field.name), (-1, 1))
            for field in fields(draws)
        },
    )


def one(draws: B, index: int) -> B:
    """A single draw, as floats."""
    return replace(
        draws,
        **{
            field.name: float(getattr(draws, field.name)[index])
            for field in fields(draws)
        },
    )
