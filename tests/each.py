"""Many small cases as one test: as tests by themselves, thousands of a line or two take longer than what they hold."""

from __future__ import annotations

import inspect
from functools import wraps


def each(names, cases, ids=None):
    """What ``pytest.mark.parametrize`` asks for, in one test that goes on and tells every case that fails.

    :param names: the arguments of a case, as one name or several; all others are fixtures, made once for all cases.
    :param ids: how a case is told; of a ``pytest.param`` its own id.
    """
    several, made = isinstance(names, tuple), tuple(cases)
    assert made, "a test of no case would hold nothing"

    def decorate(test):
        @wraps(test)
        def all_of_them(**fixtures):
            failed = []
            for case in made:
                values = getattr(case, "values", None) if hasattr(case, "marks") else case if several else (case,)
                try:
                    test(**dict(zip(names if several else (names,), values, strict=True)), **fixtures)
                except Exception as error:  # noqa: BLE001 - told below, with all others
                    told = getattr(case, "id", None) if hasattr(case, "marks") else ids(case) if ids else values
                    error.add_note(f"case: {told}")
                    failed.append(error)
            if failed:
                raise ExceptionGroup(f"{len(failed)} of {len(made)} cases fail", failed)

        signature = inspect.signature(test)
        taken = {names} if not several else set(names)
        rest = [one for one in signature.parameters.values() if one.name not in taken]
        all_of_them.__signature__ = signature.replace(parameters=rest)
        return all_of_them

    return decorate
