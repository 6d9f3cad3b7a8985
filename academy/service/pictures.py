"""A drawing handed to a page: its SVG, and the same data as a table."""

from academy.drawing.svg import Drawing
from academy.service.views import Picture, Table


def picture(drawing: Drawing, caption: str) -> Picture:
    """A drawing as the page wants it."""
    table = Table(caption, drawing.head, drawing.rows)
    return Picture(drawing.svg, drawing.title, drawing.description, table)
