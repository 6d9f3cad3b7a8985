"""QR pictures of links, for slips and certificates."""

from io import BytesIO

import segno


def picture(text: str) -> str:
    """QR code of ``text`` as an SVG data address for an ``img`` element.

    Error correction M: a folded or stained slip still reads.
    """
    return str(segno.make(text, error="m").svg_data_uri(scale=4, border=2))


def svg(text: str) -> str:
    """The same as SVG text without a border, for a page that leaves one."""
    drawn = BytesIO()
    segno.make(text, error="m").save(drawn, kind="svg", border=0)
    return drawn.getvalue().decode()
