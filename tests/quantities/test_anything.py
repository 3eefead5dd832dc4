"""Whatever is given to a calculator within its bounds is answered or refused in words, and the answer is sound JSON."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldbook.quantities import CALCULATORS, Input, QuantityError, number

if TYPE_CHECKING:
    from collections.abc import Iterator

_EXACT_IN_JSON = 2**53


def values(asked: Input) -> st.SearchStrategy[Any]:
    """Anything that an input takes, its bounds and the absurdly small among it; sometimes nothing where it may lack."""
    if asked.kind == "rows":
        found: st.SearchStrategy[Any] = st.lists(documents(asked.rows), min_size=1, max_size=4)
    elif asked.kind == "choice":
        found = st.sampled_from(asked.choices)
    elif asked.kind == "text":
        found = st.sampled_from(["husks", "x"])
    elif asked.kind == "integer":
        first = int(asked.least) + asked.above
        found = st.sampled_from([first, int(asked.most)]) | st.integers(first, int(asked.most))
    else:
        least = Decimal("1e-9") if asked.above and asked.least == 0 else Decimal(asked.least)
        between = st.decimals(least, Decimal(asked.most), places=3).filter(lambda one: one >= least)
        found = st.sampled_from([number(least), number(asked.most)]) | between.map(number)
    return st.none() | found if asked.may_lack else found


def documents(inputs: tuple[Input, ...]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries({each.name: values(each) for each in inputs})


def assert_in_words(error: QuantityError) -> None:
    assert error.message
    assert error.hint


def leaves(value: Any) -> Iterator[Any]:
    if isinstance(value, dict | list):
        for inner in value.values() if isinstance(value, dict) else value:
            yield from leaves(inner)
    else:
        yield value


@pytest.mark.parametrize("name", CALCULATORS)
def test_whatever_is_given_is_answered_or_refused_in_words(name: str) -> None:
    calculator = CALCULATORS[name]

    @given(documents(calculator.inputs))
    @settings(derandomize=True, database=None, deadline=None, max_examples=60)
    def try_it(document: dict[str, Any]) -> None:
        try:
            answer = calculator.run(document)
        except QuantityError as error:
            assert_in_words(error)
            return
        for leaf in leaves(answer):
            assert leaf is None or isinstance(leaf, str | bool | int), "no float, no Decimal"
            assert not isinstance(leaf, int) or abs(leaf) < _EXACT_IN_JSON
        known = {each.name for each in calculator.outputs}
        assert set(answer) - known <= {"calculator", "method", "valid", "sources", "cautions"}
        assert "safe" not in str({one: answer[one] for one in known & set(answer)}).lower()

    try_it()


def test_an_answer_that_no_garden_holds_is_refused() -> None:
    with pytest.raises(QuantityError, match="larger than anything in a garden"):
        CALCULATORS["seedlings"].run(
            {"plants": 1, "share_up_percent": "0.000000001", "share_living_percent": "0.000000001"}
        )
