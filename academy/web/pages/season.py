"""The season: which crop, when harvest begins, how many people each job needs."""

from flask import Blueprint, request
from werkzeug.wrappers import Response

from academy.service import farm, readiness, viewer
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.season import NeedsForm, needs_form, season_form
from academy.web.visit import go, house, now, person

bp = Blueprint("season", __name__, url_prefix="/season")


def _page(season_sent: object = None, needs_sent: object = None) -> FormPage:
    viewer.require_owner(person())
    known = farm.farm(house(), now())
    jobs = readiness.board(house(), person(), now()).jobs
    form = season_form(known, season_sent)
    needs = needs_form(jobs, needs_sent)
    return form_page.keep(
        "season.html",
        form,
        needs=needs,
        jobs=jobs,
        farm=known,
        one_person=farm.one_person_may(house(), person()),
    )


@bp.get("")
def show() -> tuple[str, int]:
    """Season and needs as they stand."""
    return _page().show()


@bp.post("")
def set_day() -> Response | tuple[str, int]:
    """Say when harvest begins."""
    page = _page(season_sent=request.form)
    if not page.valid():
        return page.again()
    day = page.form["harvest_day"].day
    farm.set_season(house(), person(), page.form["crop"].data, day.year, day)
    return go("season.show")


@bp.post("/needs")
def set_needs() -> Response | tuple[str, int]:
    """Say how many people each job needs."""
    page = _page(needs_sent=request.form)
    needs = page.context["needs"]
    if not isinstance(needs, NeedsForm) or not needs.validate():
        return page.again()
    for job, headcount in needs.headcounts().items():
        farm.set_needs(house(), person(), job, headcount)
    return go("season.show")


@bp.post("/certificates")
def set_one_person() -> Response:
    """Say whether who trains may also give certificates."""
    _page()
    farm.allow_one_person(house(), person(), request.form.get("one_person") == "yes")
    return go("season.show")
