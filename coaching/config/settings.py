"""One settings module for the embedded default and for the scale path; only the environment differs."""

from __future__ import annotations

from typing import Any

import dj_database_url
from django.utils.translation import gettext_lazy as _

from coaching.config import environment

ENVIRONMENT = environment.read()
ROOT = environment.ROOT
environment.keep_private(ENVIRONMENT)

SECRET_KEY = environment.secret_key(ENVIRONMENT)
SECRET_KEY_FALLBACKS = ENVIRONMENT.secret_key_fallbacks
DEBUG = ENVIRONMENT.debug
ALLOWED_HOSTS = ENVIRONMENT.allowed_hosts

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "rest_framework",
    "drf_spectacular",
    "drf_spectacular_sidecar",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "athletes.records",
    "athletes.pages",
    "coaching.ledger",
    "coaching.jobs",
    "coaching.pages",
    "api",
]

MIDDLEWARE = [
    "coaching.config.headers.HeadersMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "coaching.config.smaller.SmallerMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "coaching.config.language.AskedLanguage",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "coaching.config.door.DoorMiddleware",
    "coaching.config.language.OwnLanguage",
    "coaching.config.reads.ReadsMiddleware",
    "coaching.config.limiting.LimitMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "coaching.config.second_factor.AgainMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
]

ROOT_URLCONF = "coaching.config.urls"
WSGI_APPLICATION = "coaching.config.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [ROOT / "coaching" / "config" / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "libraries": {"cautions": "coaching.wording.caution_tags"},
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "coaching.config.offline.in_pages",
            ],
        },
    },
]


def database(url: str) -> dict[str, object]:
    """Django's entry for a database URL; SQLite gets the modes under which many writers do not fail."""
    parsed: dict[str, Any] = dict(dj_database_url.parse(url))
    if parsed["ENGINE"] == "django.db.backends.sqlite3":
        parsed["OPTIONS"] = {
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
            "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL; PRAGMA foreign_keys=ON;",
        }
    else:
        parsed["ENGINE"] = "coaching.config.postgresql"
        parsed["CONN_MAX_AGE"] = 60
        parsed["CONN_HEALTH_CHECKS"] = True
        parsed["OPTIONS"] = {"connect_timeout": 5, **parsed.get("OPTIONS", {})}
        parsed["DISABLE_SERVER_SIDE_CURSORS"] = True  # a statement and its scope go in one message
    return parsed


DATABASES = {"default": database(ENVIRONMENT.database_url)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "records.Account"
AUTHENTICATION_BACKENDS = ["coaching.config.door.LoopbackBackend"]
PASSWORD_HASHERS = ["coaching.config.hashing.Argon2", "django.contrib.auth.hashers.PBKDF2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "athletes.records.passwords.rules.PasswordRules"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "login"
CSRF_FAILURE_VIEW = "coaching.config.views.csrf_failed"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "login"

LANGUAGE_CODE = "en"
LANGUAGES = [("en", _("English")), ("de", _("German")), ("fr", _("French"))]
LOCALE_PATHS = [ROOT / "coaching" / "config" / "locale"]
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"

STATIC_URL = "static/"
STATICFILES_DIRS = [ROOT / "coaching" / "config" / "static"]
STATIC_ROOT = ENVIRONMENT.data_dir / "static"
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'none'"],
        "script-src": ["'self'"],
        "style-src": ["'self'"],
        "img-src": ["'self'", "data:", "blob:"],
        "font-src": ["'self'"],
        "connect-src": ["'self'"],
        "manifest-src": ["'self'"],
        "worker-src": ["'self'"],
        "form-action": ["'self'"],
        "base-uri": ["'none'"],
        "frame-ancestors": ["'none'"],
    },
}
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_SSL_REDIRECT = ENVIRONMENT.secure
SECURE_HSTS_SECONDS = 31536000 if ENVIRONMENT.secure else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = True
# To be on the browsers' own list of TLS-only hosts is the club's to ask for, not the program's.
SILENCED_SYSTEM_CHECKS = ["security.W021"]

SESSION_ENGINE = "athletes.records.sessions"
SESSION_COOKIE_AGE = 90 * 86_400  # as long as `sign_in.STAY` lasts at most; the door ends most sooner
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = ENVIRONMENT.secure
# A browser takes such a cookie only from this very host, over TLS, for all of its addresses.
TENPADS_COOKIES = "__Host-" if ENVIRONMENT.secure else ""
SESSION_COOKIE_NAME = TENPADS_COOKIES + "sessionid"
CSRF_COOKIE_NAME = TENPADS_COOKIES + "csrftoken"
MESSAGE_STORAGE = "coaching.config.messages.Messages"

# Accounts are made by invitation and found by name; a mail server is needed for reminders alone, and none is asked
# until one is named.
_MAIL = ENVIRONMENT.mail
EMAIL_BACKEND = _MAIL["EMAIL_BACKEND"]
EMAIL_HOST, EMAIL_PORT = _MAIL["EMAIL_HOST"], _MAIL["EMAIL_PORT"]
EMAIL_HOST_USER, EMAIL_HOST_PASSWORD = _MAIL["EMAIL_HOST_USER"], _MAIL["EMAIL_HOST_PASSWORD"]
EMAIL_USE_TLS, EMAIL_USE_SSL = _MAIL["EMAIL_USE_TLS"], _MAIL["EMAIL_USE_SSL"]
EMAIL_TIMEOUT = 5
DEFAULT_FROM_EMAIL = ENVIRONMENT.mail_from or "webmaster@localhost"
ACCOUNT_ADAPTER = "coaching.config.second_factor.Accounts"
ACCOUNT_LOGIN_METHODS = {"username"}
ACCOUNT_SIGNUP_FIELDS = ["username*", "password1*"]
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_EMAIL_NOTIFICATIONS = False
ACCOUNT_LOGIN_TIMEOUT = 600
ACCOUNT_REAUTHENTICATION_TIMEOUT = 900
# Tries are counted by the door, atomically and before anything is looked up.
ACCOUNT_RATE_LIMITS = MFA_RATE_LIMITS = False
MFA_ADAPTER = "coaching.config.second_factor.Factors"
MFA_SUPPORTED_TYPES = ["totp", "webauthn", "recovery_codes"]
MFA_PASSKEY_LOGIN_ENABLED = True
MFA_RECOVERY_CODES_SHOW_ONCE = True
MFA_TOTP_ISSUER = "Tenpads"
MFA_TOTP_TOLERANCE = 1
MFA_FORMS = {
    "authenticate": "coaching.config.second_factor.CodeForm",
    "reauthenticate": "coaching.config.second_factor.CodeAgainForm",
    "login_webauthn": "coaching.config.second_factor.KeyInForm",
    "authenticate_webauthn": "coaching.config.second_factor.KeyForm",
    "reauthenticate_webauthn": "coaching.config.second_factor.KeyAgainForm",
    "add_webauthn": "coaching.config.second_factor.NewKeyForm",
}

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": ["rest_framework.authentication.SessionAuthentication"],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.AllowAny"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "EXCEPTION_HANDLER": "api.v1.errors.problem",
    "STRICT_JSON": True,
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Tenpads",
    "VERSION": "1",
    "DESCRIPTION": (
        "Facts in, conclusions out, for programs in a person's name: `Authorization: Bearer` and a token of theirs,"
        " which sees and stores what they may and no more. What is not theirs is not found. Every POST carries an"
        " Idempotency-Key and may be sent again for 30 days; every change carries If-Match. Lists come by the page:"
        " follow `next`. Errors are problem documents (RFC 9457)."
    ),
    "OAS_VERSION": "3.1.1",
    "SERVE_INCLUDE_SCHEMA": False,
    "POSTPROCESSING_HOOKS": [],
    "SWAGGER_UI_DIST": "SIDECAR",
    "SWAGGER_UI_FAVICON_HREF": "SIDECAR",
    # Without it the viewer asks a host of its makers' whether the schema is valid.
    "SWAGGER_UI_SETTINGS": {"deepLinking": True, "validatorUrl": None},
}

TENPADS_EMBEDDED = ENVIRONMENT.embedded
TENPADS_BATCH = ENVIRONMENT.batch
TENPADS_SWEEP_S = ENVIRONMENT.sweep_s
TENPADS_REDIS_URL = ENVIRONMENT.redis_url
TENPADS_PROXIES = ENVIRONMENT.proxies
TENPADS_ERASURES = ENVIRONMENT.erasures  # kept apart from the database and its backups
TENPADS_FORECAST_CONTACT = ENVIRONMENT.forecast_contact
TENPADS_FORECAST_URL = ENVIRONMENT.forecast_url
TENPADS_ADDRESS = ENVIRONMENT.address
TENPADS_PUSH_KEY = ENVIRONMENT.push_key
TENPADS_PUSH_CONTACT = ENVIRONMENT.push_contact
TENPADS_PUSH_HOSTS = ENVIRONMENT.push_hosts
TENPADS_MAIL_FROM = ENVIRONMENT.mail_from

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {
        "plain": {
            "class": "coaching.config.scrubbing.Untold",
            "format": "{asctime} {levelname} {name} {message}",
            "style": "{",
        },
    },
    "filters": {"secrets": {"()": "coaching.config.scrubbing.ScrubSecrets"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "plain", "filters": ["secrets"]}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}

STATIC_ROOT.mkdir(parents=True, exist_ok=True)

# The queue carries only the news that somebody waits; who waits stands in the database. So it may lose or repeat
# whatever it likes, and no result is kept in it.
CELERY_BROKER_URL = ENVIRONMENT.redis_url
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BROKER_CONNECTION_MAX_RETRIES = None
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_SERIALIZER = "json"
CELERY_ACCEPT_CONTENT = ["json"]

# One athlete's check-in never queues behind a night's batch: the sweep has a queue of its own.
CELERY_TASK_QUEUES = {name: {"exchange": name, "routing_key": name} for name in ("fresh", "batch")}
CELERY_TASK_DEFAULT_QUEUE = "fresh"
CELERY_TASK_ROUTES = {
    f"coaching.jobs.tasks.{name}": {"queue": "batch"}
    for name in ("sweep", "forget_keys", "fit_squads", "keep_terms", "erase_due", "remind")
}

# A task whose process dies is handed out again, also when it was the pool's child that died. The limits stay under
# half the visibility timeout, so that none is handed out a second time while the first run still lives; and the
# search for those of a dead worker runs every 10 s, not at every tenth chance only.
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_TASK_SOFT_TIME_LIMIT = 360
CELERY_TASK_TIME_LIMIT = 400
CELERY_VISIBILITY_TIMEOUT = 900
CELERY_BROKER_TRANSPORT_OPTIONS = CELERY_RESULT_BACKEND_TRANSPORT_OPTIONS = {
    "visibility_timeout": CELERY_VISIBILITY_TIMEOUT,
    "unacked_restore_interval": 10,
    "unacked_restore_throttle": 1,
    "health_check_interval": 10,
    "socket_connect_timeout": 5,
    "socket_keepalive": True,
}
# A run whose worker lost the queue goes on: what it stores counts, and its second run finds nothing to do.
CELERY_WORKER_CANCEL_LONG_RUNNING_TASKS_ON_CONNECTION_LOSS = False
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_MAX_TASKS_PER_CHILD = 200
CELERY_WORKER_MAX_MEMORY_PER_CHILD = 300_000  # KiB

# In UTC and by the minute: which day it is for an athlete is asked of their own zone, when their row is due.
CELERY_TIMEZONE = "UTC"
CELERY_BEAT_SCHEDULE = {
    "sweep": {"task": "coaching.jobs.tasks.sweep", "schedule": float(TENPADS_SWEEP_S)},
    # Done once a day (UTC) and asked every hour, so that a scheduler that was away at the hour misses no day.
    "forget-keys": {"task": "coaching.jobs.tasks.forget_keys", "schedule": 3600.0},
    "keep-terms": {"task": "coaching.jobs.tasks.keep_terms", "schedule": 3600.0},  # once a day, asked every hour
    "remind": {"task": "coaching.jobs.tasks.remind", "schedule": 60.0},  # once a minute
    "erase-due": {"task": "coaching.jobs.tasks.erase_due", "schedule": 900.0},  # once an hour
    # What a coach asked for; a run ends before the next begins.
    "weigh-assumptions": {"task": "coaching.jobs.tasks.weigh_assumptions", "schedule": 120.0},
    "fit-squads": {"task": "coaching.jobs.tasks.fit_squads", "schedule": 3600.0},  # once a week, asked every hour
}
