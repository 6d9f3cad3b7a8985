"""Forms of the season: crop and harvest day, and headcounts per job."""

from collections.abc import Sequence
from typing import Any

from wtforms import Form
from wtforms.fields import SelectChoice

from academy.catalog import crops
from academy.language import marked
from academy.service.farm import MOST_NEEDED, FarmView
from academy.service.readiness import BoardJob
from academy.web.forms.fields import ChoiceField, CountField, DayField
from academy.web.visit import reader


class SeasonForm(Form):
    """Crop and first day of harvest."""

    crop = ChoiceField(marked("Crop"))
    harvest_day = DayField(marked("First day of harvest"))


def season_form(farm: FarmView | None, sent: object = None) -> SeasonForm:
    """The form with the season that is known."""
    known = farm.season if farm else None
    day = known.harvest_day.isoformat() if known else ""
    crop = known.crop_key if known else crops.known()[0]
    form = SeasonForm(sent, data={"crop": crop, "harvest_day": day})
    language = reader().language
    form["crop"].choices = [
        SelectChoice(key, crops.load(key).name.for_language(language))
        for key in crops.known()
    ]
    return form


class NeedsForm(Form):
    """One headcount per job; made by ``needs_form``."""

    def headcounts(self) -> dict[str, int]:
        """People needed by job key."""
        return {field.name: int(field.si or 0) for field in self}


def needs_form(jobs: Sequence[BoardJob], sent: object = None) -> NeedsForm:
    """The form with the headcounts that are known."""
    fields: dict[str, Any] = {
        job.key: CountField(
            job.name,
            kind="count",
            bounds=(0.0, float(MOST_NEEDED)),
            system="us",
            start=float(job.needed),
        )
        for job in jobs
    }
    made: type[NeedsForm] = type("Needs", (NeedsForm,), fields)
    return made(sent)
