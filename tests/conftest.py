"""What all tests share: one JupyterLab and one browser for each file that tries its pages.

The tests see the course's own exercises only, whatever a teacher keeps beside the course.
"""

import os

import pytest

from tests import browser_tools as tools

os.environ["PATTERNLIB_OWN_EXERCISES"] = ""


@pytest.fixture(scope="module")
def lab():
    """A running JupyterLab."""
    tools.needed("boards, tables and forms need")
    with tools.Lab() as running:
        yield running


@pytest.fixture(scope="module")
def browser():
    """A running Chromium."""
    with tools.chromium() as running:
        yield running
