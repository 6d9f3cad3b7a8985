"""The form that lays a lab out: which scenarios, one field or one each, for whom."""

from wtforms import Form, SelectMultipleField
from wtforms.fields import SelectChoice

from academy.language import marked
from academy.web.forms.fields import ChoiceField

FIELD_CHOICES = [
    SelectChoice("same", marked("the same field for all")),
    SelectChoice("each", marked("one field each")),
]


class LabForm(Form):
    """Ticks; the deed knows what may be ticked."""

    families = SelectMultipleField(validate_choice=False)
    fields = ChoiceField(marked("Fields"), choices=FIELD_CHOICES, default="same")
    crews = SelectMultipleField(validate_choice=False)
    people = SelectMultipleField(validate_choice=False)

    def ticked(self, name: str) -> tuple[str, ...]:
        """What was ticked under a name."""
        return tuple(self[name].data or ())
