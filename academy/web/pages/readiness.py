"""The readiness board: will enough qualified people stand ready?

The page, a sheet to print and a workbook show the same figures.
"""

from flask import Blueprint, Response, render_template, request

from academy.language import gettext, marked
from academy.service import crew_hour, farm, readiness
from academy.service.readiness import Board
from academy.web.pages import readiness_sheets
from academy.web.pages.card import WORD_NAMES
from academy.web.visit import house, now, person, reader

bp = Blueprint("readiness", __name__)

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
FILE_NAME = marked("readiness")


def _board() -> Board:
    """The board of the crew asked for, by default the viewer's own."""
    return readiness.board(house(), person(), now(), request.args.get("crew") or None)


@bp.get("/readiness")
def show() -> str:
    """The board of a crew, today and on the first day of harvest."""
    board = _board()
    crews = farm.crews(house(), person())
    return render_template(
        "readiness.html",
        board=board,
        word_names=WORD_NAMES,
        crews=crews,
        hour=crew_hour.best_hour(house(), person(), now(), board.crew_id),
    )


@bp.get("/readiness/sheet")
def sheet() -> str:
    """The board on paper: jobs, and people by topics."""
    board = _board()
    return render_template(
        "readiness_sheet.html",
        board=board,
        word_names=WORD_NAMES,
        legend=readiness_sheets.legend(house().catalog.model),
    )


@bp.get("/readiness.xlsx")
def file() -> Response:
    """The board as a workbook."""
    board = _board()
    data = readiness_sheets.as_workbook(board, house().catalog.model, now())
    response = Response(data, mimetype=XLSX)
    name = f"{gettext(FILE_NAME, reader().language)}-{board.today.isoformat()}.xlsx"
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
