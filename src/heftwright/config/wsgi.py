"""The WSGI door."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "heftwright.config.settings")

application = get_wsgi_application()


def take_over_left_work() -> None:
    """Know every kind of long work, and take over what a stopped server left behind."""
    from heftwright.usecases import jobs, season  # noqa: F401 - season enters its kind of work

    jobs.keep_reaping()


take_over_left_work()
