import logging

import pytest


@pytest.fixture(autouse=True)
def _quiet():
    """Thousands of refusals are asked for here; telling of each takes half the time."""
    logging.disable(logging.WARNING)
    yield
    logging.disable(logging.NOTSET)
