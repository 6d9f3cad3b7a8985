"""SVG text written by hand: escaped, classed, never styled inside.

Shapes carry their geometry and stroke widths as presentation attributes and draw in
``currentColor``; ``static/css/drawing.css`` gives the classes ``yours`` and ``soft``
their colour and ``paper`` and ``halo`` the paper's. Without a style sheet everything is
black on white. A drawing is 360 units wide, about one phone, so that 13 units of type
stay readable there.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape

WIDTH = 360.0
SMALL, NORMAL = 13.0, 14.0
_GLYPH = 0.6  # mean width of a letter over its size, on the wide side of common faces
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture and its text twin: the same data as a table."""

    svg: str
    title: str
    description: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def clean(text: str) -> str:
    """The text made safe inside XML, as content and inside quotes."""
    return escape(_NOT_XML.sub("\ufffd", text), quote=True)


def fixed(value: float) -> str:
    """A coordinate in at most two decimals, without a trailing zero."""
    return f"{round(float(value), 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def _attribute(name: str, value: object) -> str:
    text = fixed(value) if isinstance(value, float) else clean(str(value))
    return f' {name.rstrip("_").replace("_", "-")}="{text}"'


def tag(name: str, *children: str, **attributes: object) -> str:
    """One element; ``class_`` and ``stroke_width`` turn into XML names, None drops."""
    given = "".join(_attribute(k, v) for k, v in attributes.items() if v is not None)
    return (
        f"<{name}{given}>{''.join(children)}</{name}>"
        if children
        else (f"<{name}{given}/>")
    )


def group(*children: str, **attributes: object) -> str:
    """Elements that share attributes."""
    return tag("g", *children, **attributes) if children else ""


def line(x1: float, y1: float, x2: float, y2: float, **attributes: object) -> str:
    """A straight ink line, 1.2 wide unless told."""
    pen = {"stroke": "currentColor", "stroke_width": 1.2} | attributes
    ends = {"x1": float(x1), "y1": float(y1), "x2": float(x2), "y2": float(y2)}
    return tag("line", **ends, **pen)


def points(xs: Sequence[float], ys: Sequence[float]) -> str:
    """Pairs for ``points`` of a polyline, and after M for a path."""
    return " ".join(f"{fixed(x)},{fixed(y)}" for x, y in zip(xs, ys, strict=True))


def polyline(xs: Sequence[float], ys: Sequence[float], **attributes: object) -> str:
    """An open ink line through points."""
    pen = {"fill": "none", "stroke": "currentColor", "stroke_width": 1.2}
    joined = {"stroke_linejoin": "round", "stroke_linecap": "round"}
    return tag("polyline", points=points(xs, ys), **(pen | joined | attributes))


def text_width(text: str, size: float = NORMAL) -> float:
    """Room a text needs, on the generous side [units]."""
    return len(text) * size * _GLYPH


def wrap(text: str, width: float, size: float = NORMAL) -> list[str]:
    """The text in lines that fit a width; a longer word keeps its own line."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines or [""]


def text(
    x: float,
    y: float,
    words: str | Sequence[str],
    size: float = NORMAL,
    anchor: str | None = None,
    weight: str | None = None,
    class_: str | None = None,
    **attributes: object,
) -> str:
    """Type with its baseline at y; several lines stand 1.2 sizes apart."""
    lines = [words] if isinstance(words, str) else list(words)
    place = {"x": float(x), "y": float(y), "font_size": float(size)}
    look = {"text_anchor": anchor, "font_weight": weight, "class_": class_}
    if len(lines) == 1:
        return tag("text", clean(lines[0]), **place, **look, **attributes)
    spans = [
        tag("tspan", clean(part), x=float(x), dy=float(size * 1.2 if k else 0))
        for k, part in enumerate(lines)
    ]
    return tag("text", *spans, **place, **look, **attributes)


def halo(
    x: float,
    y: float,
    words: str,
    size: float = NORMAL,
    anchor: str | None = None,
    weight: str | None = None,
) -> str:
    """Type on a rim of paper, for writing across lines."""
    rim = {"stroke": "#fff", "stroke_width": 4.0, "paint_order": "stroke"}
    return text(x, y, words, size, anchor, weight, "halo", **rim)


def drawing(
    ids: str,
    words: Mapping[str, str],
    spoken: Sequence[str],
    height: float,
    body: Sequence[str],
    head: Sequence[str],
    rows: Sequence[Sequence[str]],
) -> Drawing:
    """The finished picture, titled and described.

    ``words`` gives ``title`` and ``description``; ``spoken`` lines follow in the
    description, so that nothing is told by shape alone.
    """
    title, said = words["title"], " ".join([words["description"], *spoken])
    svg = tag(
        "svg",
        tag("title", clean(title), id=f"{ids}-title"),
        tag("desc", clean(said), id=f"{ids}-desc"),
        *body,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {fixed(WIDTH)} {fixed(height)}",
        role="img",
        aria_labelledby=f"{ids}-title {ids}-desc",
        class_="drawing",
        fill="currentColor",
    )
    return Drawing(svg, title, said, tuple(head), tuple(tuple(r) for r in rows))
