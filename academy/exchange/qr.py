"""QR pictures of links, for slips and certificates."""

import segno


def picture(text: str) -> str:
    """QR code of ``text`` as an SVG data address for an ``img`` element.

    Error correction M: a folded or stained slip still reads.
    """
    return str(segno.make(text, error="m").svg_data_uri(scale=4, border=2))
