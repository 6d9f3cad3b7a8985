"""Raising an appeal, and answering one."""

from wtforms import Form, TextAreaField
from wtforms.fields import SelectChoice

from academy.language import marked
from academy.web.forms.fields import ChoiceField

OUTCOMES = [
    SelectChoice("stands", marked("The decision stands.")),
    SelectChoice("overturned", marked("The decision is overturned.")),
]


class AppealForm(Form):
    """Why somebody doubts a decision; the deed refuses an empty reason."""

    reason = TextAreaField(marked("What do you doubt, and why?"))


class AnswerForm(Form):
    """What a second person decides, and why."""

    outcome = ChoiceField(marked("Decision"), choices=OUTCOMES, default="stands")
    reason = TextAreaField(marked("Why you decide this way"))
