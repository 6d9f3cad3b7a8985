"""Cases run together: all of them are looked at, and what fails is named."""

import pytest
from together import together


def test_every_case_that_fails_is_named_and_none_is_left_out() -> None:
    seen = []

    @together("one, other", [(1, 1), (2, 3), (4, 4), (5, 6)], ids=list("abcd"))
    def _alike(one: int, other: int) -> None:
        seen.append(one)
        assert one == other

    with pytest.raises(
        BaseExceptionGroup, match=r"2 of 4 cases failed: .*b.*d"
    ) as told:
        _alike()
    assert seen == [1, 2, 4, 5]
    notes = [wrong.__notes__ for wrong in told.value.exceptions]
    assert notes == [["case: b"], ["case: d"]]


def test_a_refusal_that_does_not_come_and_a_skip_are_failures() -> None:
    @together("value", ["1", "x", "skip"])
    def _refused(value: str) -> None:
        if value == "skip":
            pytest.skip("nothing to see")
        with pytest.raises(ValueError, match="x"):
            int(value)

    with pytest.raises(BaseExceptionGroup, match="2 of 3") as told:
        _refused()
    assert len(told.value.exceptions) == 2


def test_cases_within_cases_and_fixtures_are_all_gone_through(tmp_path) -> None:
    seen = []

    @together("outer", "ab")
    @together("inner", "xy")
    def _pairs(given: object, outer: str, inner: str) -> None:
        seen.append((given, outer, inner))

    _pairs(given=tmp_path)
    assert seen == [(tmp_path, one, two) for one in "ab" for two in "xy"]


def test_no_case_at_all_is_an_error() -> None:
    with pytest.raises(ValueError, match="no case for value"):
        together("value", [])
