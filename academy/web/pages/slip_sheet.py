"""The printable sheet of slips: link as QR code, PIN and spoken word, shown once."""

from collections.abc import Sequence
from dataclasses import dataclass

from flask import render_template

from academy.exchange import qr
from academy.service.slips import SlipMade


@dataclass(frozen=True)
class PrintedSlip:
    """A slip with its QR picture and its person's language."""

    made: SlipMade
    qr: str
    language: str

    @property
    def pin(self) -> str:
        """The PIN in two groups of three."""
        return f"{self.made.pin[:3]} {self.made.pin[3:]}"


def sheet(slips: Sequence[tuple[SlipMade, str]], first: bool = False) -> str:
    """The sheet of ``slips`` (slip, language); ``first`` leads the owner on."""
    printed = [PrintedSlip(made, qr.picture(made.url), lang) for made, lang in slips]
    return render_template("slip_sheet.html", slips=printed, first=first)
