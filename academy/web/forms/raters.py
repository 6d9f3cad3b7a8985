"""The score that a rater expects of a just-qualified person."""

from wtforms import Form

from academy.language import marked
from academy.service.raters import FamilyRow
from academy.web.forms.fields import QuantityField


class RatingForm(Form):
    """One share of full marks, as a percentage."""

    expected = QuantityField(
        marked("Share of full marks"), kind="share", bounds=(0.0, 1.0), system="us"
    )


def rating_form(row: FamilyRow, sent: object = None) -> RatingForm:
    """The form with what the rater said before."""
    form = RatingForm(sent)
    form["expected"].start = row.own
    return form
