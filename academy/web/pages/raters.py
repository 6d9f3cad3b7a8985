"""Where real people set the line: a family to rate, all ratings, the line itself."""

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from academy.service import raters
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.answers import answers_form
from academy.web.forms.raters import rating_form
from academy.web.visit import go, house, now, person

bp = Blueprint("raters", __name__, url_prefix="/raters")

_DIGITS = 9  # of a draw's number, at most


@bp.get("")
def index() -> str:
    """Every family to rate, and where the line stands."""
    return render_template("raters.html", raters=raters.raters(house(), person()))


@bp.post("/line")
def set_line() -> Response:
    """Make a new version of the line."""
    raters.set_line(house(), person(), now())
    return go("raters.index")


def _seed() -> int:
    """The draw asked for, the first for none and for nonsense."""
    sent = request.args.get("draw", "")
    fine = sent.isascii() and sent.isdigit() and len(sent) <= _DIGITS
    return int(sent) or raters.SEED if fine else raters.SEED


def _page(family: str, sent: object = None) -> FormPage:
    found = raters.to_rate(house(), person(), family, _seed())
    return form_page.keep(
        "rater_family.html",
        rating_form(found.row, sent),
        found=found,
        asked=answers_form(found.question),
    )


@bp.get("/<family>")
def show(family: str) -> tuple[str, int]:
    """A drawn question of a family with its key, and what to say of it."""
    return _page(family).show()


@bp.post("/<family>")
def rate(family: str) -> Response | tuple[str, int]:
    """Keep what was said."""
    page = _page(family, request.form)
    if not page.valid():
        return page.again()
    expected = page.form["expected"].si
    raters.rate(house(), person(), family, expected, now())
    return go("raters.show", family=family)
