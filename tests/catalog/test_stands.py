"""Each crop stands in its own way, inside what the engine takes of any stand."""

from dataclasses import astuple, fields

import pytest

from academy.catalog import crops, parts, stands
from academy.engine.stand import Stand
from academy.errors import ContentError
from academy.service import how

NAMES = [field.name for field in fields(Stand)]


@pytest.mark.parametrize("crop", crops.known())
def test_a_crops_stand_lies_inside_its_ends_and_the_parts(crop: str) -> None:
    low, high = stands.ends(crop)
    ordinary = stands.stand_of(crop)
    for name in NAMES:
        least, _, most = parts.load("stand").state[name].si()
        order = (least, getattr(low, name), getattr(ordinary, name))
        order += (getattr(high, name), most)
        assert list(order) == sorted(order), name


@pytest.mark.parametrize("crop", crops.known())
def test_a_crop_says_its_stems_and_each_figure_has_a_page(crop: str) -> None:
    own = crops.load(crop).stand
    assert {"stem_thickness", "stem_density", "stem_moisture", "tangling"} <= set(own)
    assert {f"{crop}.stand.{name}" for name in own} <= set(how.entries())


def test_what_a_crop_does_not_say_is_as_in_the_parts() -> None:
    usual = parts.load("stand").in_order
    assert stands.stand_of("wheat").row_angle == usual.row_angle


def test_no_two_crops_stand_alike() -> None:
    stood = {astuple(stands.stand_of(crop)) for crop in crops.known()}
    assert len(stood) == len(crops.known())


def test_a_cereal_stands_denser_and_thinner_than_pods_on_thick_stems() -> None:
    wheat, canola = stands.stand_of("wheat"), stands.stand_of("canola")
    assert wheat.stem_density > canola.stem_density
    assert wheat.stem_thickness < canola.stem_thickness


def test_a_figure_that_no_stand_has_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    crop = crops.load("wheat")
    strange = crop.model_copy(update={"stand": {"roots": crop.grain.price}})
    monkeypatch.setattr(crops, "load", lambda _key: strange)
    with pytest.raises(ContentError):
        stands.figures.__wrapped__("wheat")
