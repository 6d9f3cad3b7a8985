"""The bank of questions as those who teach look it through; nothing is kept."""

from flask import Blueprint, render_template, request

from academy.errors import NotUnderstood
from academy.language import Language, Reader, sentence_for
from academy.service import preview
from academy.units import System
from academy.web.forms.answers import answers_form
from academy.web.visit import SYSTEMS, person, reader, reading_as

bp = Blueprint("bank", __name__, url_prefix="/bank")

FIRST, LAST = 1, 999_999_999  # draws that may be asked for
_SHOWN = 20  # characters of a seed that is none


def _seed() -> tuple[int, str]:
    """The draw asked for, and what to do instead when it is none; then the first."""
    sent = request.args.get("seed", "").strip()
    if not sent:
        return FIRST, ""
    if sent.isascii() and sent.isdigit() and len(sent) <= len(str(LAST)) and int(sent):
        return int(sent), ""
    wrong = NotUnderstood("no_such_draw", text=sent[:_SHOWN], low=FIRST, high=LAST)
    return FIRST, sentence_for(wrong, reader())


def shown_to() -> Reader:
    """Language and units asked for; one's own where none are."""
    asked_in, units = request.args.get("in"), request.args.get("units")
    own = reader()
    language: Language = own.language
    if asked_in in ("en", "es"):
        language = "es" if asked_in == "es" else "en"
    system: System = own.units
    if units in SYSTEMS:
        system = "us" if units == "us" else "metric"
    return Reader(language, system)


@bp.get("")
def index() -> str:
    """Every family, to choose one."""
    return render_template("bank.html", families=preview.listed(person(), reader()))


@bp.get("/<family>")
def show(family: str) -> str:
    """One draw of a family: asked, keyed, judged, and answered by simulated people."""
    (seed, problem), asked_in = _seed(), shown_to()
    shown = preview.preview(person(), family, seed, asked_in, reader())
    with reading_as(asked_in):  # hints and labels, too
        form = answers_form(shown.question)
        asked = render_template("bank_asked.html", shown=shown, form=form)
        key = render_template("bank_key.html", shown=shown)
    return render_template(
        "bank_family.html",
        shown=shown,
        typed=request.args.get("seed", str(seed))[:_SHOWN] if problem else str(seed),
        problem=problem,
        asked_in=asked_in,
        asked=asked,
        key=key,
    )
