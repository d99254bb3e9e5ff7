"""Django settings of one gym's server. Wiring only."""

from __future__ import annotations

SECRET_KEY = "replaced-before-serving"  # noqa: S105 - the store part replaces this with a generated one
INSTALLED_APPS: list[str] = []
DATABASES = {"default": {"ENGINE": "django.db.backends.sqlite3", "NAME": ":memory:"}}
USE_TZ = True
