"""Hatches that tell the pieces of a loss apart without colour.

Each is a small tile; the shape recalls the cause: grains on the ground, a knife's
teeth, upright stubble, lying stalks.
"""

from academy.drawing.svg import group, tag

_TILES: dict[str, tuple[int, int, str]] = {
    "grains": (7, 7, "M1.5,2h2M5,5.5h2"),
    "leaning": (6, 6, "M-1,7L7,-1M-1,1L1,-1M5,7L7,5"),
    "teeth": (8, 8, "M0,7L4,1L8,7"),
    "upright": (4, 4, "M2,0V4"),
    "lying": (4, 4, "M0,2H4"),
    "crossed": (7, 7, "M-1,-1L8,8M-1,8L8,-1"),
    "drops": (6, 8, "M1.5,1V4M4.5,5V8"),
    "across": (8, 8, "M1,1L5,4L1,7"),
    "chaff": (4, 4, "M0,0H4V4H0Z"),
    "wide": (9, 9, "M-1,-1L10,10M-1,8L1,10M8,-1L10,1"),
    "out": (9, 9, "M-1,-1L10,10M-1,8L1,10M8,-1L10,1"),
    "back": (9, 9, "M-1,10L10,-1M-1,1L1,-1M8,10L10,8"),
}
_PENS = {"grains": 2.2, "chaff": 2.4, "upright": 1.1, "lying": 1.1, "wide": 1.0}
_PENS |= {"out": 0.7, "back": 0.7}
OF_PIECE: dict[str, str] = {
    "shatter": "grains",
    "loose_stalk": "leaning",
    "knife": "teeth",
    "stubble": "upright",
    "lodged": "lying",
    "divider": "crossed",
    "belt_leak": "drops",
    "crossing_over": "across",
    "processing": "chaff",
}


def hatch_id(ids: str, hatch: str) -> str:
    """The name of a hatch inside one picture."""
    return f"{ids}-{hatch}"


def fill(ids: str, hatch: str) -> str:
    """The ``fill`` that paints a shape with a hatch."""
    return f"url(#{hatch_id(ids, hatch)})"


def _pattern(ids: str, hatch: str) -> str:
    width, height, path = _TILES[hatch]
    stroke = tag(
        "path",
        d=path,
        fill="none",
        stroke="currentColor",
        stroke_width=_PENS.get(hatch, 1.3),
        stroke_linecap="square",
    )
    return tag(
        "pattern",
        stroke,
        id=hatch_id(ids, hatch),
        width=width,
        height=height,
        patternUnits="userSpaceOnUse",
    )


def hatches(ids: str, *names: str, yours: bool = False) -> str:
    """Definitions of the named hatches, in ink or in the colour of yours."""
    defs = tag("defs", *[_pattern(ids, name) for name in names])
    return group(defs, class_="yours" if yours else None)


def hatched(
    ids: str, hatch: str, x: float, y: float, width: float, height: float
) -> str:
    """A rectangle of paper with a hatch and an ink edge."""
    box = {"x": float(x), "y": float(y), "width": float(width), "height": float(height)}
    paper = tag("rect", **box, fill="#fff", class_="paper")
    ink = tag(
        "rect", **box, fill=fill(ids, hatch), stroke="currentColor", stroke_width=1.2
    )
    return paper + ink
