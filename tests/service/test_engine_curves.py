"""What the engine believes, beside what is printed."""

import pytest

from academy.catalog import crops, knives, recommended
from academy.language import Reader
from academy.service import bench_choice, engine_curves


@pytest.fixture(scope="module")
def believed():
    return engine_curves.believed(bench_choice.usual({}), Reader("en", "us"))


def figure(text):
    return float(text.split()[0].replace("$", "").rstrip("%"))


def test_every_recommendation_stands_beside_the_engine(believed):
    named = [row[0] for row in believed.printed.rows]
    assert named == [one.name.en for one in recommended.load().values()]


def test_the_best_reel_index_is_within_print_standing_and_higher_lodged(believed):
    # 1.25 to 1.5 standing, about 2 lodged [iowa-hanna]; the gap to 2 is shown, and
    # the reference fit itself reaches 1.71 where 1.9 ± 0.2 is printed.
    rows = {row[0]: row for row in believed.printed.rows}
    standing = figure(rows["Reel index, standing soybean"][2])
    lodged = figure(rows["Reel index, lodged soybean"][2])
    assert 1.25 <= standing <= 1.5
    assert 1.6 <= lodged <= 2.1


def test_ground_speed_and_reel_index_have_an_optimum_inside(believed):
    # In print both too little and too much of either cost more.
    settings = dict(row[:2] for row in believed.best.rows)
    assert 1.5 < figure(settings["Ground speed"]) < 5.5
    assert 1.1 < figure(settings["Reel index"]) < 2.2


def test_bands_add_up_to_all_losses(believed):
    for stack in believed.stacks:
        for row in stack.table.rows:
            *pieces, total = (float(cell) for cell in row[1:])
            assert sum(pieces) == pytest.approx(total, abs=0.04)  # seven roundings


@pytest.mark.parametrize("crop", crops.known())
@pytest.mark.parametrize("language", ["en", "es"])
def test_every_crop_has_its_page(crop, language):
    chosen = bench_choice.usual({"crop": crop})
    shown = engine_curves.believed(chosen, Reader(language, "metric"))
    assert len(shown.stacks) == len(bench_choice.CONTROLS)
    assert len(shown.pictures) == 2 + len(knives.load())  # pace, hour, each knife
