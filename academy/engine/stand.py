"""The stand of this hour beyond its grain: stems, weeds and what lies between them."""

from dataclasses import dataclass

import numpy as np

from academy.engine import guard
from academy.engine.si import (
    KilogramPerSquareMetre,
    Metre,
    PerSquareMetre,
    Radian,
    Ratio,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """Stems and growth as they stand; one crop's ordinary ones are in ``content/``."""

    stem_moisture: Ratio  # of the stems, wet basis
    green_stems: Ratio  # share of the plants whose stems are still green
    stem_thickness: Metre  # at the height of the cut
    stem_density: PerSquareMetre
    tangling: Ratio  # share of the plants knit into their neighbours
    weeds: Ratio  # share of the mat that is long, viny weeds
    residue: KilogramPerSquareMetre  # old stalks of the crop before
    row_angle: Radian  # between the rows and the line of travel; 0 along them


@dataclass(frozen=True, slots=True, kw_only=True)
class StandCoefficients:
    """What is believed of stems."""

    tough_moisture: Ratio  # stem moisture at which half the dry stems are tough
    tough_moisture_width: Ratio


def toughness(stand: Stand, c: StandCoefficients) -> Ratio:
    """How tough the stems are, from brittle to tough.

    Tough stems wrap, hang on the fingers and slide on the belts; brittle ones break
    and flow.

    Parameters
    ----------
    stand : the stand of this hour
    c : what is believed of stems

    Returns
    -------
    [1] from 0, brittle, to 1, tough

    Raises
    ------
    OutOfRange : when a share is no fraction, or the width is not above zero

    Notes
    -----
    Green stems are tough; of the others a logistic share ``1/(1 + exp(−(M − M₀)/w))``
    [judgement]: only that damp and green crop is tough is known.

    Examples
    --------
    >>> believed = StandCoefficients(tough_moisture=0.2, tough_moisture_width=0.05)
    >>> still = Stand(
    ...     stem_moisture=0.2, green_stems=0.0, stem_thickness=0.006,
    ...     stem_density=30.0, tangling=0.0, weeds=0.0, residue=0.0, row_angle=0.0,
    ... )
    >>> float(toughness(still, believed))
    0.5
    """
    guard.fraction("stem_moisture", stand.stem_moisture)
    guard.fraction("green_stems", stand.green_stems)
    guard.positive("tough_moisture_width", c.tough_moisture_width)
    over = (stand.stem_moisture - c.tough_moisture) / c.tough_moisture_width
    damp: Ratio = 1.0 / (1.0 + np.exp(-over))
    return stand.green_stems + (1.0 - stand.green_stems) * damp
