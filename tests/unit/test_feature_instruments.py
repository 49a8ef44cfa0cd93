"""What a feature is read with is an instrument that is known: a reading without a listed one is judged as by a usual one."""

import pytest

from tenths.engine.features import FEATURES
from tenths.findings.cards import typical


@pytest.mark.parametrize("system", ["inch", "metric"])
def test_every_feature_is_read_with_a_kind_of_instrument_that_is_known(system):
    kinds = {feature.instrument for feature in FEATURES if feature.instrument}
    assert len(kinds) > 10
    for kind in kinds:
        assert typical(kind, system).kind
