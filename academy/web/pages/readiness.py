"""The readiness board: will enough qualified people stand ready?

The page, a sheet to print and a workbook show the same figures.
"""

from flask import Blueprint, Response, render_template, request

from academy.language import gettext, marked
from academy.service import certified, crew_hour, farm, readiness
from academy.service.certified import Certified
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


def _facts(board: Board) -> Certified:
    """The certified facts of the board's crew."""
    return certified.certified(house(), person(), now(), board.crew_id)


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
        facts=_facts(board),
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
        facts=_facts(board),
        legend=readiness_sheets.legend(house().catalog.model),
    )


@bp.get("/readiness.xlsx")
def file() -> Response:
    """The board as a workbook."""
    board = _board()
    model = house().catalog.model
    data = readiness_sheets.as_workbook(board, _facts(board), model, now())
    response = Response(data, mimetype=XLSX)
    name = f"{gettext(FILE_NAME, reader().language)}-{board.today.isoformat()}.xlsx"
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
