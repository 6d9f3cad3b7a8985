"""How often the certificates err, by the newest run of simulated people."""

from flask import Blueprint, render_template

from academy.service import error_rates_told
from academy.web.visit import house, reader

bp = Blueprint("error_rates", __name__, url_prefix="/how")


@bp.get("/error-rates")
def show() -> str:
    """The table, the curves and what no short test can do."""
    return render_template(
        "error_rates.html", run=error_rates_told.told(house(), reader())
    )
