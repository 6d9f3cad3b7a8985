"""A certificate on paper: one tagged page (PDF/UA-1), made from plain data.

Words and names travel as JSON, never as markup, so a name cannot draw anything. Only
the letters that the typesetter carries are used: the same data, the same bytes,
whatever the machine.
"""

import json
import re
from dataclasses import asdict, dataclass
from datetime import datetime
from functools import cache
from threading import Lock
from typing import Any, Literal

from academy import paths
from academy.errors import Unavailable
from academy.exchange import qr

MISSING = "\N{WHITE SQUARE}"
LONGEST_WORD = 28
TRIES = 8
_ONE_AT_A_TIME = Lock()
_UNSHOWN = re.compile(r"the text `\"(.+?)\"` could not be displayed")


@dataclass(frozen=True, slots=True)
class Paper:
    """All that stands on the page, in the words of one language.

    ``facts`` are label and value. ``address`` is where anybody can check it; it is also
    in the QR code. ``missing`` is the sentence for letters that cannot be printed.
    """

    language: Literal["en", "es"]
    paper: Literal["a4", "us-letter"]
    program: str
    farm: str
    label: str
    title: str
    scope: str
    holder: str
    name: str
    facts: tuple[tuple[str, str], ...]
    tasks_title: str
    tasks: tuple[str, ...]
    notes: tuple[str, ...]
    caution: str
    check: str
    address: str
    number: str
    missing: str
    made_at: datetime


def made(paper: Paper) -> bytes:
    """The PDF; the same bytes for the same data. Raises Unavailable.

    A sign that no letter is carried for, such as an emoji, is printed as an open
    square, and the page says so.
    """
    plain = _as_plain(paper)
    lost: set[str] = set()
    for _ in range(TRIES):
        found = _compiled(_without(plain, lost, paper.missing), paper.made_at)
        if isinstance(found, bytes):
            return found
        lost |= found
    raise Unavailable("certificate_not_printed")


def breakable(text: str) -> str:
    """``text`` with places to break in words too long for a line."""
    return re.sub(rf"(\S{{{LONGEST_WORD}}})(?=\S)", "\\1\N{ZERO WIDTH SPACE}", text)


def _as_plain(paper: Paper) -> dict[str, Any]:
    plain = asdict(paper) | {"made_at": ""}
    for name in ("farm", "name", "title"):
        plain[name] = breakable(plain[name])
    plain["facts"] = [[label, breakable(value)] for label, value in paper.facts]
    shown = re.sub(r"([/.:])(?=\w)", "\\1\N{ZERO WIDTH SPACE}", paper.address)
    return plain | {"shown_address": breakable(shown), "qr": qr.svg(paper.address)}


def _without(plain: dict[str, Any], lost: set[str], sentence: str) -> str:
    """The data as JSON; what cannot be printed is replaced, and the page says so."""
    if lost:
        plain = plain | {"notes": [*plain["notes"], sentence]}
    text = json.dumps(plain, ensure_ascii=False)
    return text.translate({ord(sign): MISSING for sign in lost})


@cache
def _compiler() -> Any:
    """The one typesetter of this process; it keeps what it has read."""
    import typst  # late: 30 MB that most commands never need

    file = paths.static() / "print" / "certificate.typ"
    return typst.Compiler(str(file), root=str(file.parent), ignore_system_fonts=True)


def _compiled(data: str, at: datetime) -> bytes | set[str]:
    """The page, or the signs that cannot be printed; raises Unavailable."""
    from typst import TypstError

    with _ONE_AT_A_TIME:
        try:
            done: bytes = _compiler().compile(
                format="pdf",
                sys_inputs={"data": data},
                pdf_standards=["ua-1"],
                timestamp=int(at.timestamp()),
            )
        except TypstError as found:
            told = "".join(_UNSHOWN.findall(found.diagnostic))
            lost = {sign for sign in told if not sign.isascii()}
            if not lost:
                raise Unavailable("certificate_not_printed") from found
            return lost
    return done
