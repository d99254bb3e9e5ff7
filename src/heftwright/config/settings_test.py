"""Settings of the test suite."""

from heftwright.config.settings import *  # noqa: F403 - a test run is the server with a few changes
