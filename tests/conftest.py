"""What many tests share."""

import pytest

from shops import shop_in_memory
from tenths.services.demo import lay_demo


@pytest.fixture
def shop(tmp_path):
    return shop_in_memory(tmp_path)


@pytest.fixture(scope="session")
def demo_shop(tmp_path_factory):
    """The demo shop; shared, so tests only read it."""
    made = shop_in_memory(tmp_path_factory.mktemp("demo"))
    lay_demo(made)
    return made
