"""Many near-identical cases of one rule in one test; every case that fails is told.

As a test of its own each case costs the two workers three milliseconds, and there are
thousands that take a hundredth of that to look at.
"""

import functools
import inspect
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import pytest

MOST_SHOWN = 20  # failures with their tracebacks; all are named


def together(
    names: str,
    cases: Iterable[Any],
    ids: Callable[[Any], str] | Sequence[str] | None = None,
) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Run a test for all cases, then fail with every case that failed, by its name.

    Written like ``pytest.mark.parametrize``. A fixture is shared by all cases, so take
    none that a case could change; no case at all is an error.
    """
    wanted = [name.strip() for name in names.split(",")]
    listed = [(case,) if len(wanted) == 1 else tuple(case) for case in cases]
    labels = _labels(listed, ids)
    if not listed:
        raise ValueError(f"no case for {names}")

    def decorate(test: Callable[..., None]) -> Callable[..., None]:
        signature = inspect.signature(test)
        left = [one for name, one in signature.parameters.items() if name not in wanted]

        @functools.wraps(test)
        def all_cases(**given: Any) -> None:
            runs = [
                functools.partial(
                    test, **given, **dict(zip(wanted, values, strict=True))
                )
                for values in listed
            ]
            run_all(labels, runs)

        all_cases.__signature__ = signature.replace(parameters=left)  # type: ignore[attr-defined]
        return all_cases

    return decorate


def run_all(labels: Iterable[str], runs: Iterable[Callable[[], None]]) -> None:
    """Run all, then fail with every one that failed, by its label."""
    failed, named, count = [], [], 0
    for label, run in zip(labels, runs, strict=True):
        count += 1
        try:
            run()
        except (Exception, pytest.fail.Exception, pytest.skip.Exception) as wrong:
            wrong.add_note(f"case: {label}")
            failed.append(wrong)
            named.append(label)
    if failed:
        told = f"{len(failed)} of {count} cases failed: {named}"
        raise BaseExceptionGroup(told, failed[:MOST_SHOWN])


def _labels(
    listed: list[tuple[Any, ...]], ids: Callable[[Any], str] | Sequence[str] | None
) -> list[str]:
    if ids is None:
        return ["-".join(map(str, values)) for values in listed]
    if callable(ids):
        return ["-".join(map(ids, values)) for values in listed]
    return list(ids)
