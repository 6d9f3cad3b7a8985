"""The farm that tests begin, as its owner fills the form in."""

from academy.catalog import combines, headers
from academy.service.farm import FarmForm


def farm_form(
    name: str = "Upland Test Farm", language: str = "en", units: str = "us"
) -> FarmForm:
    """The filled-in form of the first start."""
    return FarmForm(
        name=name,
        zone="America/Chicago",
        currency="USD",
        header_key=headers.known()[0],
        combine_key=combines.known()[0],
        owner_name="Odalys Penrose",
        language=language,
        units=units,
    )
