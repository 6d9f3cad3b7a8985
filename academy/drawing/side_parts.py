"""The parts seen from the side: ground, crop, stubble, belt, cutterbar, reel.

``Frame`` places metres on the drawing: x ahead of the knife, z over the ground. Shapes
of the metalwork are only indicated; everything that is set or measured is to scale.
"""

import math
from collections.abc import Sequence

from academy.drawing.side_view import Frame, Place
from academy.drawing.svg import fixed, group, line, points, polyline, tag

_STEM_PITCH, _POD_PITCH, _POD = 0.115, 0.06, 0.048  # of the sketch, not of a crop [m]
_TINE = 0.3  # length of the sketched tine over the tip radius
_SWAY = (0.0, 0.018, -0.012, 0.008, -0.02, 0.014, -0.006)
_SHORTER = (0.0, 0.03, 0.012, 0.04, 0.006, 0.024, 0.016)


def _between(
    frame: Frame, start: Place, end: Place, width: float, **attributes: object
) -> str:
    (x1, y1), (x2, y2) = frame.at(*start), frame.at(*end)
    pen = {"stroke_linecap": "round"} | attributes
    return line(x1, y1, x2, y2, stroke_width=width, **pen)


def soil(frame: Frame, right: float) -> str:
    """The ground line with the draughtsman's strokes beneath."""
    y = frame.ground
    strokes = "".join(f"M{x},{fixed(y)}l-7,8" for x in range(8, int(right) + 8, 9))
    below = tag("path", d=strokes, fill="none", stroke="currentColor", stroke_width=0.8)
    return line(0, y, right, y, stroke_width=2.0) + group(below, class_="soft")


def _pods(ahead: float, lowest: float, top: float, frame: Frame) -> list[str]:
    """Slender pods on both sides, each hanging from its own height."""
    count = max(1, int((top - 0.04 - lowest) / _POD_PITCH))
    size = frame.units_per_metre * _POD
    parts = []
    for k in range(count):
        x, y = frame.at(ahead, lowest + k * _POD_PITCH)
        side = size if k % 2 else -size
        parts.append(
            f"M{fixed(x)},{fixed(y)}"
            f"q{fixed(side * 0.7)},{fixed(size * 0.1)} "
            f"{fixed(side * 0.55)},{fixed(size)}"
            f"q{fixed(-side * 0.5)},{fixed(-size * 0.4)} "
            f"{fixed(-side * 0.55)},{fixed(-size)}"
        )
    return parts


def plant(frame: Frame, ahead: float, height: float, lowest: float, sway: float) -> str:
    """One standing stalk, its lowest pod hanging at ``lowest``."""
    foot, top = frame.at(ahead, 0), frame.at(ahead + sway, height)
    stem = f"M{points([foot[0]], [foot[1]])}L{points([top[0]], [top[1]])}"
    pods = "".join(_pods(ahead, lowest, height, frame))
    return tag("path", d=stem, stroke="currentColor", stroke_width=1.1) + tag(
        "path", d=pods, stroke="currentColor", stroke_width=0.6
    )


def crop(frame: Frame, height: float, lowest: float, front: float) -> str:
    """The crop still standing from the knife forward."""
    stalks = []
    for k in range(max(1, int((front - 0.06) / _STEM_PITCH))):
        tall = height * (1 - _SHORTER[k % len(_SHORTER)])
        at = 0.06 + k * _STEM_PITCH
        stalks.append(plant(frame, at, tall, lowest, _SWAY[k % len(_SWAY)]))
    return group(*stalks, class_="soft")


def stubble(frame: Frame, cut: float) -> str:
    """What stands behind the knife."""
    count = int(-frame.rear / _STEM_PITCH) + 1
    stalks = [
        _between(frame, (x, 0), (x, cut), 2.2, stroke_linecap="butt")
        for x in (-0.055 - k * _STEM_PITCH for k in range(count))
    ]
    return group(*stalks, class_="soft")


def belt(frame: Frame, cut: float, depth: float) -> str:
    """The side belt seen on its edge, with slats, and the back sheet behind it."""
    rise = 0.2
    front, back = (-0.16, cut + 0.05), (-0.16 - depth, cut + 0.05 + depth * rise)
    run = [front, back, (back[0], back[1] - 0.055), (front[0], front[1] - 0.055)]
    places = [frame.at(*corner) for corner in run]
    band = tag(
        "polygon",
        points=points(*zip(*places, strict=True)),
        fill="#fff",
        class_="paper",
        stroke="currentColor",
        stroke_width=1.6,
        stroke_linejoin="round",
    )
    slats = []
    for k in range(1, int(depth / 0.09) + 1):
        x, z = -0.16 - k * 0.09, cut + 0.05 + k * 0.09 * rise
        slats.append(_between(frame, (x, z), (x, z - 0.055), 0.9))
    sheet = _between(frame, back, (back[0] - 0.09, back[1] + 0.5), 3.4)
    return group(sheet, band, *slats)


def cutterbar(frame: Frame, cut: float) -> str:
    """Guard and knife section with the point at the knife's own place."""
    outline = [
        (0.0, 0.0),
        (-0.06, 0.02),
        (-0.16, 0.028),
        (-0.18, 0.055),
        (-0.21, 0.045),
        (-0.19, -0.025),
        (-0.05, -0.025),
    ]
    places = [frame.at(x, cut + z) for x, z in outline]
    return tag(
        "polygon",
        points=points(*zip(*places, strict=True)),
        stroke="currentColor",
        stroke_width=1.0,
        stroke_linejoin="round",
    )


def raised_bar(frame: Frame, cut: float, rise: float) -> str:
    """The cutterbar's highest place, dashed."""
    outline = [(0.0, 0.0), (-0.19, 0.03), (-0.19, -0.025), (-0.05, -0.025)]
    places = [frame.at(x, cut + rise + z) for x, z in outline]
    return tag(
        "polygon",
        points=points(*zip(*places, strict=True)),
        fill="none",
        stroke="currentColor",
        stroke_width=1.2,
        stroke_dasharray="4 3",
    )


def _bat(axle: Place, tip: Place, radius: float, tilt: float) -> Place:
    """Where the bat sits whose tine leans by ``tilt`` [rad] off the arm."""
    out = (tip[0] - axle[0]) / radius, (tip[1] - axle[1]) / radius
    cos, sin = _TINE * radius * math.cos(tilt), _TINE * radius * math.sin(tilt)
    return tip[0] - out[0] * cos - out[1] * sin, tip[1] - out[1] * cos + out[0] * sin


def reel(frame: Frame, axle: Place, radius: float, tips: Sequence[Place]) -> str:
    """Tip circle, arms, bats with their tines, and the axle tube."""
    centre = dict(zip(("cx", "cy"), map(float, frame.at(*axle)), strict=True))
    scale = frame.units_per_metre
    first = (axle[1] - tips[0][1]) / radius
    tilt = math.pi / 2 - math.asin(min(first, 1.0))
    parts = [
        tag(
            "circle",
            **centre,
            r=float(radius * scale),
            fill="none",
            stroke="currentColor",
            stroke_width=0.9,
            stroke_dasharray="2 4",
            class_="tips",
        )
    ]
    bats = [_bat(axle, tip, radius, tilt) for tip in tips]
    parts += [_between(frame, axle, bat, 1.2) for bat in bats]
    ring = [frame.at(*bat) for bat in [*bats, bats[0]]]
    parts.append(polyline(*map(list, zip(*ring, strict=True)), stroke_width=1.2))
    parts += [
        _between(frame, bat, tip, 2.0) for bat, tip in zip(bats, tips, strict=True)
    ]
    parts += [
        tag("circle", cx=float(frame.x(x)), cy=float(frame.y(z)), r=3.2)
        for x, z in bats
    ]
    parts.append(
        tag(
            "circle",
            **centre,
            r=8.0,
            fill="#fff",
            class_="paper",
            stroke="currentColor",
            stroke_width=2.0,
        )
    )
    return group(*parts) + tag("circle", **centre, r=1.6)
