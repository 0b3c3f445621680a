"""What all tests share: one JupyterLab for all files that try its pages, one browser for each of them.

The tests see the course's own exercises only, whatever a teacher keeps beside the course.
"""

import os

import pytest

from tests import browser_tools as tools

os.environ["PATTERNLIB_OWN_EXERCISES"] = ""


@pytest.fixture(scope="session")
def server():
    """A running JupyterLab: to start it takes as long as a short test."""
    tools.needed("boards, tables and forms need")
    with tools.Lab() as running:
        yield running


@pytest.fixture(scope="module")
def lab(server):
    """The JupyterLab as it was started: its folder is empty and no kernel runs."""
    yield server
    server.clear()


@pytest.fixture(scope="module")
def browser():
    """A running Chromium. It is of one file only: where one runs, nothing else can use an event loop."""
    with tools.chromium() as running:
        yield running
