"""The dimensions of the side view: letters on the drawing, their names in the key.

A axle over the knife, B axle ahead of the knife, C cut height, D crop height, E lowest
pods, F the bar's rise.
"""

from academy.drawing import dimension
from academy.drawing.side_view import Frame, SideView, axle_of
from academy.drawing.svg import SMALL, WIDTH, group, halo, line

LETTERS = {"axle": "A", "lead": "B", "cut": "C", "crop": "D", "pods": "E", "bar": "F"}
BELOW = 66.0
"""Room under the ground line for lead and driving direction [units]."""


def _axle(view: SideView, frame: Frame) -> str:
    x = frame.x(view.reel_lead - view.tip_radius - 0.1)
    knife, axle = frame.y(view.cut_height), frame.y(axle_of(view)[1])
    return group(
        dimension.extension(x - 5, axle, frame.x(view.reel_lead), axle),
        dimension.extension(x - 5, knife, frame.x(0.0), knife),
        dimension.upright(x, knife, axle, class_="dimension axle"),
        dimension.letter(x, (2 * knife + 3 * axle) / 5 + 5, LETTERS["axle"]),
    )


def _lead(view: SideView, frame: Frame) -> str:
    y, knife, axle = frame.ground + 30, frame.x(0.0), frame.x(view.reel_lead)
    over = frame.y(axle_of(view)[1])
    dashes = {"stroke_width": 0.8, "stroke_dasharray": "12 3 2 3"}
    beside = max(knife, axle) + (26 if abs(axle - knife) < 21 else 11)
    return group(
        line(axle, over, axle, y + 6, **dashes),
        dimension.extension(knife, frame.y(view.cut_height), knife, y + 6),
        dimension.level(y, knife, axle, class_="dimension lead"),
        dimension.letter(beside, y + 5, LETTERS["lead"]),
    )


def _cut(view: SideView, frame: Frame) -> str:
    x, top = 16.0, frame.y(view.cut_height)
    foot = frame.ground + (34 if frame.ground - top < 21 else 20)
    return group(
        dimension.extension(x - 6, top, x + 14, top),
        dimension.upright(x, frame.ground, top, class_="dimension cut"),
        dimension.letter(x, foot, LETTERS["cut"]),
    )


def _crop(view: SideView, frame: Frame) -> str:
    x, top = WIDTH - 12, frame.y(view.crop_height)
    return group(
        dimension.extension(x - 22, top, x + 6, top),
        dimension.upright(x, frame.ground, top, class_="dimension crop"),
        dimension.letter(x, (frame.ground + top) / 2 + 5, LETTERS["crop"]),
    )


def _pods(view: SideView, frame: Frame) -> str:
    y, start = frame.y(view.lowest_grain), frame.x(0.04)
    rule = line(start, y, WIDTH - 44, y, stroke_dasharray="5 4", class_="pods")
    return rule + dimension.letter(WIDTH - 36, y + 5, LETTERS["pods"])


def _bar(view: SideView, frame: Frame) -> str:
    if view.bar_rise <= 0:
        return ""
    x, y = frame.at(-0.2, view.cut_height + view.bar_rise)
    return dimension.letter(x - 9, y + 5, LETTERS["bar"])


def dimensions(view: SideView, frame: Frame) -> list[str]:
    """Every dimension with its letter."""
    each = (_pods, _lead, _axle, _cut, _crop, _bar)
    return [draw(view, frame) for draw in each]


def travel(frame: Frame, word: str) -> str:
    """The driving direction, under the ground at the right."""
    y, end = frame.ground + 50, WIDTH - 8
    told = halo(end - 34, y + 4.5, word, size=SMALL, anchor="end")
    shaft = dimension.arrow(end - 28, y, end, y)
    return group(told, shaft, class_="soft")
