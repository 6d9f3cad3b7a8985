"""The readiness board: will enough qualified people stand ready?"""

from flask import Blueprint, render_template

from academy.service import readiness
from academy.web.pages.card import WORD_NAMES
from academy.web.visit import house, now, person

bp = Blueprint("readiness", __name__)


@bp.get("/readiness")
def show() -> str:
    """The board of the viewer's crew, today and on the first day of harvest."""
    board = readiness.board(house(), person(), now())
    return render_template("readiness.html", board=board, word_names=WORD_NAMES)
