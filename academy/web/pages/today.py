"""The first page: what this is for visitors, what to do today for people."""

from flask import Blueprint, render_template, request

from academy.service import (
    appeals,
    assessment_lead,
    assessment_told,
    card,
    farm,
    lab_own,
    next_practice,
    signing,
)
from academy.web.pages import labs
from academy.web.pages.card import WORD_NAMES
from academy.web.pages.field import CALCULATORS
from academy.web.visit import DEVICE, house, now, visit

bp = Blueprint("today", __name__)


@bp.get("/")
def show() -> str:
    """A visitor's page, or the signed-in person's."""
    viewer = visit().viewer
    if viewer is None:
        return _for_visitors()
    own = card.card(house(), viewer, viewer.person_id, now())
    known = farm.farm(house(), now())
    return render_template(
        "today.html",
        assessments=assessment_told.own(house(), viewer),
        when=labs.when,
        waiting=assessment_lead.waiting(house(), viewer, now()),
        doubted=appeals.to_decide(house(), viewer),
        card=own,
        farm=known,
        coming=next_practice.next_for(house(), viewer, now()),
        labs=lab_own.own_labs(house(), viewer),
        word_names=WORD_NAMES,
    )


def _for_visitors() -> str:
    device = request.cookies.get(DEVICE, "")
    return render_template(
        "welcome.html",
        farm=farm.farm(house(), now()),
        known=signing.people_on_device(house(), device),
        calculators=CALCULATORS,
    )
