"""Django's settings, built from ours: nothing here reads the environment by itself."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any, Final

from csp.constants import NONE, SELF
from django.utils.functional import SimpleLazyObject

from balewright.settings import load_settings

BALEWRIGHT: Final = load_settings(os.environ)
_DESK: Final = Path(__file__).parent
_HOME: Final = Path(BALEWRIGHT.home)

DEBUG = False
SECRET_KEY = SimpleLazyObject(lambda: BALEWRIGHT.secret_key)  # made when first needed
ALLOWED_HOSTS = list(BALEWRIGHT.allowed_hosts)
APPEND_SLASH = False  # ours have none; an address with one is led back
ROOT_URLCONF = "balewright.desk.urls"
WSGI_APPLICATION = "balewright.desk.wsgi.application"
DATABASES = BALEWRIGHT.databases
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "csp",
    "django_htmx",
    "django_tasks",
    "django_tasks_db",
    "balewright.store",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "balewright.desk.access.sign_in_on_open_desk",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]

TEMPLATES: list[dict[str, Any]] = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [_DESK / "templates", *sorted(_DESK.glob("*/templates"))],
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "balewright.desk.frame.frame",
            ],
            "libraries": {"wording": "balewright.desk.wording"},
            "builtins": [
                "django.templatetags.static",
                "balewright.desk.wording",
                "balewright.desk.sheet.day",
            ],
        },
    }
]

# Who is who.
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
        "NumericPasswordValidator",
    )
]
LOGIN_URL = "sign_in"
LOGIN_REDIRECT_URL = "today"
LOGOUT_REDIRECT_URL = "sign_in"

# What a browser may do with our pages: nothing from elsewhere, no script or style in the page.
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
        "object-src": [NONE],
    }
}
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CONTENT_TYPE_NOSNIFF = True
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_AGE = 14 * 24 * 3600
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = BALEWRIGHT.https
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if BALEWRIGHT.https else None
CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_NAME = "balewright_session"
CSRF_COOKIE_NAME = "balewright_csrf"
CSRF_FAILURE_VIEW = "balewright.desk.failing.stale_form"

# What may be sent to us. Files go to disk, never whole into memory.
UPLOAD_FILE_BYTES: Final = 400 * 1024 * 1024
UPLOAD_FILES: Final = 10
FILE_UPLOAD_HANDLERS = ["balewright.desk.intake.upload_limit.LimitedUploadHandler"]
FILE_UPLOAD_TEMP_DIR = str(_HOME / "uploads")
FILE_UPLOAD_PERMISSIONS = 0o600
DATA_UPLOAD_MAX_NUMBER_FILES = UPLOAD_FILES
DATA_UPLOAD_MAX_NUMBER_FIELDS = 200
DATA_UPLOAD_MAX_MEMORY_SIZE = 1024 * 1024

# Long work, and what two processes must both see (progress, failed sign-ins).
TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend", "QUEUES": ["default"]}}
CACHES = {
    "default": {
        "BACKEND": "django.core.cache.backends.filebased.FileBasedCache",
        "LOCATION": str(_HOME / "cache"),
    },
    # How often who came: in memory alone, so that no address is ever written down.
    "limits": {
        "BACKEND": "django.core.cache.backends.locmem.LocMemCache",
        "LOCATION": "limits",
        "OPTIONS": {"MAX_ENTRIES": 50_000},
    },
}

STATIC_URL = "/static/"
STATIC_ROOT = _HOME / "static"
STATICFILES_DIRS = [_DESK / "static", *([_HOME / "bundle"] if (_HOME / "bundle").is_dir() else [])]
_GATHERED: Final = (STATIC_ROOT / "staticfiles.json").is_file()
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        # Hashed names and compressed copies once they were gathered at set-up.
        "BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"
        if _GATHERED
        else "django.contrib.staticfiles.storage.StaticFilesStorage"
    },
}
WHITENOISE_USE_FINDERS = not _GATHERED

LANGUAGE_CODE = "en"
USE_I18N = False
USE_TZ = True
TIME_ZONE = "UTC"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "%(asctime)s %(levelname)s %(name)s: %(message)s"}},
    "filters": {"tokens": {"()": "balewright.desk.shared.hide_tokens.HideTokens"}},
    "handlers": {
        "console": {"class": "logging.StreamHandler", "formatter": "line", "filters": ["tokens"]}
    },
    "root": {"handlers": ["console"], "level": "WARNING"},
}
