"""The bank of questions as those who teach look it through; nothing is kept."""

from flask import Blueprint, render_template, request

from academy.language import Language, Reader
from academy.service import preview
from academy.units import System
from academy.web.forms.answers import answers_form
from academy.web.visit import SYSTEMS, person, reader

bp = Blueprint("bank", __name__, url_prefix="/bank")

_DIGITS = 9  # of a seed, at most


def _seed() -> int:
    """The seed asked for, 1 for none and for nonsense."""
    sent = request.args.get("seed", "")
    fine = sent.isascii() and sent.isdigit() and len(sent) <= _DIGITS
    return int(sent) or 1 if fine else 1


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
    shown = preview.preview(person(), family, _seed(), shown_to())
    return render_template(
        "bank_family.html",
        shown=shown,
        family=family,
        asked_in=shown_to(),
        form=answers_form(shown.question),
    )
