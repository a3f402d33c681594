"""Django's settings, all from the environment; ``docs/operating.md`` explains the variables."""

from __future__ import annotations

from typing import Any

import dj_database_url

from service_registry.environment import TRIAL_SECRET_KEY, read_environment

ENV = read_environment()

PRODUCTION = ENV.production
NODE_HOST = ENV.node_host
DATA_DIR = ENV.data_dir.absolute()

# Debug pages show settings and local variables, so they stay off, on a trial node too.
DEBUG = False
SECRET_KEY = ENV.secret_key
SECRET_KEY_IS_FOR_TRIAL = ENV.secret_key == TRIAL_SECRET_KEY
ALLOWED_HOSTS = ENV.allowed_hosts

INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "rest_framework",
    "drf_spectacular",
    "apps.registry",
    "apps.exchange",
    "apps.api",
    "apps.pages",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "apps.api.middleware.RequestId",
    "apps.api.middleware.NoLength",
    "apps.api.unread_body.ReadToTheEnd",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "apps.pages.middleware.Pages",
]

ROOT_URLCONF = "service_registry.urls"
WSGI_APPLICATION = "service_registry.wsgi.application"
APPEND_SLASH = False

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.messages.context_processors.messages",
            ]
        },
    }
]


def _database() -> dict[str, Any]:
    url = ENV.database_url or f"sqlite:///{DATA_DIR / 'registry.sqlite3'}"
    database: dict[str, Any] = {**dj_database_url.parse(url)}
    options = database.setdefault("OPTIONS", {})
    if database["ENGINE"].endswith("sqlite3"):
        options |= _SQLITE
    else:
        options |= _POSTGRESQL | _pool()
        # A connection made anew for each request costs far more than the query it carries.
        database |= {"CONN_MAX_AGE": 0 if ENV.database_pool else None, "CONN_HEALTH_CHECKS": True}
    return database


_SQLITE = {
    # A transaction that reads first and then writes can't wait for another writer, so every
    # transaction takes the write lock when it begins.
    "transaction_mode": "IMMEDIATE",
    "timeout": 20,
    # What is deleted or emptied is overwritten too, so that what was erased isn't left in the file.
    "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON; "
    "PRAGMA secure_delete=ON;",
}
_POSTGRESQL = {"server_side_binding": True, "prepare_threshold": 5}


def _pool() -> dict[str, Any]:
    size = ENV.database_pool
    return {"pool": {"min_size": 1, "max_size": size, "timeout": 10}} if size else {}


DATABASES = {"default": _database()}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

CACHES = {
    "default": {
        "BACKEND": "django.core.cache.backends.locmem.LocMemCache",
        # The usual 300 would let who tries many names push the counts of tries out.
        "OPTIONS": {"MAX_ENTRIES": 20_000},
    }
}

STATIC_URL = "/static/"
# Served from the packages themselves, so there is no folder to collect them in.
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False

# The API refuses more than this before parsing: a record is 32 KiB at most, a bulk call 16 of them.
DATA_UPLOAD_MAX_MEMORY_SIZE = 1024 * 1024

# Networks that webhooks may lead into besides the public one.
WEBHOOK_NETWORKS = ENV.webhook_networks

LANGUAGE_CODE = "en-gb"
# Of the pages; the API speaks English to all.
LANGUAGES = [("en-gb", "English"), ("de", "Deutsch"), ("fr", "Français")]
LANGUAGE_COOKIE_SAMESITE = "Lax"
LANGUAGE_COOKIE_SECURE = PRODUCTION
USE_I18N = True
USE_TZ = True
# Times are stored in UTC; this is the calendar by which a date without a time is judged.
TIME_ZONE = ENV.time_zone

SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
LOGIN_URL = "pages:enter"
CSRF_FAILURE_VIEW = "service_registry.refusals.forged"
SESSION_COOKIE_SECURE = PRODUCTION
# The rules of Django's own; a shop's people share a room, so what is easy to guess is guessed.
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
]
# A bench's own device stays logged in for a working week.
SESSION_COOKIE_AGE = 7 * 24 * 3600
MESSAGE_STORAGE = "django.contrib.messages.storage.cookie.CookieStorage"
CSRF_COOKIE_SECURE = PRODUCTION
# A proxy ends TLS in front of the node and does the redirect; see docs/operating.md.
SILENCED_SYSTEM_CHECKS = ["security.W004", "security.W008"]

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": ["apps.api.authentication.ApiKeyAuthentication"],
    "DEFAULT_PERMISSION_CLASSES": ["apps.api.permissions.HasScope"],
    "DEFAULT_THROTTLE_CLASSES": ["apps.api.throttling.PerKeyAndRoute"],
    "DEFAULT_THROTTLE_RATES": {
        "read": ENV.rate_read,
        "write": ENV.rate_write,
        "compute": ENV.rate_compute,
        "unknown": ENV.rate_unknown,
    },
    "DEFAULT_PARSER_CLASSES": ["apps.api.parsing.StrictJSONParser"],
    "DEFAULT_CONTENT_NEGOTIATION_CLASS": "apps.api.negotiation.Negotiation",
    "DEFAULT_RENDERER_CLASSES": ["apps.api.rendering.JSONRenderer"],
    "DEFAULT_SCHEMA_CLASS": "apps.api.openapi.RegistrySchema",
    # A parameter `format` is the address's own to read; unknown ones are refused everywhere.
    "URL_FORMAT_OVERRIDE": None,
    "EXCEPTION_HANDLER": "apps.api.problems.exception_handler",
    "UNAUTHENTICATED_USER": None,
    # A client can write anything into X-Forwarded-For, so only the address itself is counted.
    "NUM_PROXIES": ENV.trusted_proxies,
}

SPECTACULAR_SETTINGS = {
    "TITLE": "Ski service registry",
    "DESCRIPTION": "What benches found, did and measured on each ski, by the tag its shop gave it.",
    "VERSION": "1",
    "OAS_VERSION": "3.1.0",
    "SERVE_INCLUDE_SCHEMA": False,
    "SCHEMA_PATH_PREFIX": "/api/v1",
    "COMPONENT_SPLIT_REQUEST": False,
    # The shapes come from Pydantic, which names its closed lists itself.
    "POSTPROCESSING_HOOKS": [],
    "LICENSE": {"name": "Apache-2.0", "identifier": "Apache-2.0"},
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name} {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": ENV.log_level},
}
