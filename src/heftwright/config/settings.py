"""Django settings of one server, for one gym or many. Wiring only."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from csp.constants import NONE, SELF
from django.utils.functional import lazystr

from heftwright.config import env, faults

env.refuse_unknown(os.environ)

DATA_DIR = env.read_directory("HEFTWRIGHT_DATA", "data")
DEBUG = env.read_switch("HEFTWRIGHT_DEBUG")
HTTPS = env.read_switch("HEFTWRIGHT_HTTPS")
ALLOWED_HOSTS = env.read_list("HEFTWRIGHT_HOSTS", "localhost,127.0.0.1,[::1]")


class _Secret:
    """Read or made when something is first signed, so that importing settings writes nothing."""

    def __str__(self) -> str:
        return env.secret_key(DATA_DIR)


SECRET_KEY: Any = lazystr(_Secret())

INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "csp",
    "django_htmx",
    "heftwright.store",
    "heftwright.web",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "heftwright.web.http.refusals.RefusalMiddleware",
    "heftwright.web.access.middleware.AccessMiddleware",
]
ROOT_URLCONF = "heftwright.config.urls"
WSGI_APPLICATION = "heftwright.config.wsgi.application"
TEMPLATES: list[dict[str, Any]] = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [Path(__file__).resolve().parent.parent / "web" / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ]
        },
    }
]

LOGGING = faults.LOGGING

DATABASES = {"default": env.read_database(DATA_DIR)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "store.Account"
AUTHENTICATION_BACKENDS = ["django.contrib.auth.backends.ModelBackend"]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 12},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "/sign-in"

SESSION_COOKIE_AGE = 30 * 24 * 3600
SESSION_COOKIE_SECURE = HTTPS
CSRF_COOKIE_SECURE = HTTPS
SECURE_SSL_REDIRECT = False  # the door in front does it; on a LAN there may be no https at all
SECURE_HSTS_SECONDS = 30 * 24 * 3600 if HTTPS else 0
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "base-uri": [NONE],
    }
}

STATIC_URL = "/static/"
WHITENOISE_USE_FINDERS = True  # no collecting step between a download and the first class

LANGUAGE_CODE = "en-gb"
USE_I18N = False  # one number grammar at every door: no localized parsing or writing (H1)
USE_TZ = True
TIME_ZONE = "UTC"

DATA_UPLOAD_MAX_MEMORY_SIZE = 6 * 1024 * 1024  # import files end at 5 MB (S5)
