"""Crop lost where the header's two ends part the stand."""

from academy.engine import guard
from academy.engine.si import Metre, Ratio


def divider_share(coefficient: Ratio, reference_width: Metre, width: Metre) -> Ratio:
    """Share of the crop that the two dividers knock down or strip.

    Two ends, however wide the header: a wider header loses a smaller share.

    Parameters
    ----------
    coefficient : [1] share lost by a header of the reference width
    reference_width : [m] width for which the coefficient was stated
    width : [m] width of this header

    Returns
    -------
    [1] share of the standing crop lost at the dividers

    Raises
    ------
    OutOfRange : when the coefficient is no fraction, or a width is not above zero

    Notes
    -----
    ``c W₀/W`` [mass-balance]; the size of ``c`` is [judgement], only the ranking of
    divider types is published [pami-canola].

    Examples
    --------
    >>> round(divider_share(0.002, 9.0, 12.0), 4)
    0.0015
    """
    guard.fraction("coefficient", coefficient)
    guard.positive("reference_width", reference_width)
    guard.positive("width", width)
    return coefficient * reference_width / width
