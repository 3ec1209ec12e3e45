"""A small brief that is searched in about a second, and its result."""

import pytest
from briefs import SMALL_BRIEF
from searches import searched

from optimizer.brief.brief import Brief, brief_from_text
from optimizer.search.result import Result


@pytest.fixture(scope="session")
def small_brief() -> Brief:
    """Two to eight magnets, two coil shapes, two wires; the title tries to break pages and plots."""
    return brief_from_text(SMALL_BRIEF, "small")


@pytest.fixture(scope="session")
def small_result(small_brief: Brief) -> Result:
    """What the search finds for `small_brief`."""
    return searched(small_brief)
