"""A person's card: what the answers so far say, topic by topic."""

from flask import Blueprint, render_template

from academy.language import marked
from academy.service import card
from academy.web.pages.card_pictures import belief_picture
from academy.web.visit import house, now, person, reader

bp = Blueprint("card", __name__)

WORD_NAMES = {
    "ready": marked("ready"),
    "refresh": marked("refresh"),
    "not_yet": marked("not yet"),
    "untested": marked("untested"),
    "talk_first": marked("talk first"),
}


def _card(person_id: str) -> str:
    shown = card.card(house(), person(), person_id, now())
    tested = [topic for topic in shown.topics if topic.answered]
    return render_template(
        "card.html",
        card=shown,
        own=person_id == person().person_id,
        tested=tested,
        pictures={one.key: belief_picture(one, reader().language) for one in tested},
        word_names=WORD_NAMES,
    )


@bp.get("/card")
def own() -> str:
    """One's own card."""
    return _card(person().person_id)


@bp.get("/people/<person_id>")
def of(person_id: str) -> str:
    """The card of somebody one looks after; never an answer."""
    return _card(person_id)
