"""The try-out bench: set a header on today's conditions; no sign-in, nothing kept."""

from flask import Blueprint, request
from wtforms import Form

from academy.service import try_out
from academy.web import form_page
from academy.web.forms.fields import QuantityField
from academy.web.forms.try_out import bench_form, choice_form
from academy.web.visit import reader

bp = Blueprint("try_out", __name__, url_prefix="/try-out")


def _figures(form: Form) -> dict[str, float]:
    return {
        field.name: field.si
        for field in form
        if isinstance(field, QuantityField) and field.si is not None
    }


@bp.get("")
def show() -> tuple[str, int]:
    """The bench as it is set; at first everything stands where it usually does."""
    asked = request.args.to_dict()
    chosen = try_out.usual(asked)
    typed = asked if "ground_speed" in asked else {}
    form = bench_form(chosen, typed, request.args if typed else None)
    page = form_page.keep(
        "try_out.html",
        form,
        chosen=chosen,
        choice=choice_form(chosen),
        controls=try_out.CONTROLS,
        tried=None,
        scripted=True,
    )
    if not page.valid():
        return page.again()
    page.context["tried"] = try_out.tried(chosen, _figures(form), reader())
    return page.show()
