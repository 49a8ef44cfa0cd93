"""The cover's facts stand three abreast, whatever is known of the engine."""

from hypothesis import given
from hypothesis import strategies as st

from tenths.record.report import _abreast


@given(st.lists(st.integers(1, 3), max_size=12))
def test_no_row_is_wider_than_three_and_nothing_is_lost(spans):
    made = _abreast([{"label": str(n), "span": span} for n, span in enumerate(spans)])
    assert [f["label"] for f in made] == [str(n) for n in range(len(spans))]
    assert all(f["span"] >= span for f, span in zip(made, spans, strict=True))
    column = 0
    for fact in made:
        assert column + fact["span"] <= 3
        column = (column + fact["span"]) % 3
