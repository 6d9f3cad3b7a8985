"""The interval of a share that was counted."""

import math

from academy.errors import OutOfRange

_WIDTH = 1.959963984540054  # standard deviations that hold 95 %


def wilson(hits: int, tries: int) -> tuple[float, float]:
    """Wilson's 95 % limits of a share (1927); raises OutOfRange without any try."""
    if tries < 1 or not 0 <= hits <= tries:
        raise OutOfRange("must_be_positive", name="tries", value=tries)
    share, square = hits / tries, _WIDTH**2
    middle = share + square / (2 * tries)
    half = _WIDTH * math.sqrt(
        share * (1 - share) / tries + square / (4 * tries * tries)
    )
    whole = 1 + square / tries
    low = 0.0 if hits == 0 else (middle - half) / whole  # exactly, not to a last digit
    return low, 1.0 if hits == tries else (middle + half) / whole
