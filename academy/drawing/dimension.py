"""Dimension lines as on a workshop drawing: extension lines, arrowheads, a letter."""

from academy.drawing.svg import group, halo, line, tag

_HEAD, _WING = 7.0, 2.6


def _head(x: float, y: float, dx: float, dy: float) -> str:
    """A filled arrowhead with its tip at (x, y), pointing along (dx, dy)."""
    back_x, back_y = x - dx * _HEAD, y - dy * _HEAD
    left = f"{back_x - dy * _WING:.2f},{back_y + dx * _WING:.2f}"
    right = f"{back_x + dy * _WING:.2f},{back_y - dx * _WING:.2f}"
    return tag("polygon", points=f"{x:.2f},{y:.2f} {left} {right}")


def arrow(x1: float, y1: float, x2: float, y2: float) -> str:
    """A thin line that ends in an arrowhead."""
    length = max(((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5, 1e-9)
    dx, dy = (x2 - x1) / length, (y2 - y1) / length
    return line(x1, y1, x2, y2) + _head(x2, y2, dx, dy)


def upright(x: float, low: float, high: float, **attributes: object) -> str:
    """A vertical dimension between two heights; arrows come from outside when tight."""
    top, foot = min(low, high), max(low, high)
    if foot - top >= 3 * _HEAD:
        inside = arrow(x, foot - _HEAD, x, top) + arrow(x, top + _HEAD, x, foot)
        return group(inside, **attributes)
    outside = arrow(x, top - 16, x, top) + arrow(x, foot + 16, x, foot)
    return group(outside, line(x, top, x, foot), **attributes)


def level(y: float, first: float, second: float, **attributes: object) -> str:
    """A horizontal dimension between two places, tight ones from outside."""
    left, right = min(first, second), max(first, second)
    if right - left >= 3 * _HEAD:
        inside = arrow(right - _HEAD, y, left, y) + arrow(left + _HEAD, y, right, y)
        return group(inside, **attributes)
    outside = arrow(left - 16, y, left, y) + arrow(right + 16, y, right, y)
    return group(outside, line(left, y, right, y), **attributes)


def extension(x1: float, y1: float, x2: float, y2: float) -> str:
    """The hair line from the thing to its dimension."""
    return line(x1, y1, x2, y2, stroke_width=0.7)


def letter(x: float, y: float, sign: str, anchor: str = "middle") -> str:
    """The bold letter that the key beneath explains."""
    return halo(x, y, sign, weight="bold", anchor=anchor)
