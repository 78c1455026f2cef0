"""One settings module for the embedded default and for the scale path; only the environment differs."""

from __future__ import annotations

from urllib.parse import urlsplit

from django.utils.translation import gettext_lazy as _

from coaching.config import environment

ENVIRONMENT = environment.read()
ROOT = environment.ROOT

SECRET_KEY = environment.secret_key(ENVIRONMENT)
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
    "athletes.records",
    "athletes.pages",
    "coaching.ledger",
    "coaching.jobs",
    "coaching.pages",
    "api",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "coaching.config.door.DoorMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
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
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]


def database(url: str) -> dict[str, object]:
    """Django's entry for a database URL; SQLite gets the modes under which many writers do not fail."""
    from environs import Env

    parsed: dict[str, object] = dict(Env().dj_db_url("TENPADS_DATABASE_URL", url))
    if parsed["ENGINE"] == "django.db.backends.sqlite3":
        parsed["OPTIONS"] = {
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
            "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL; PRAGMA foreign_keys=ON;",
        }
    else:
        parsed["CONN_MAX_AGE"] = 60
        parsed["CONN_HEALTH_CHECKS"] = True
    return parsed


DATABASES = {"default": database(ENVIRONMENT.database_url)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "records.Account"
AUTHENTICATION_BACKENDS = ["coaching.config.door.LoopbackBackend"]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 15}},
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
]
LOGIN_URL = "login"
CSRF_FAILURE_VIEW = "coaching.config.views.csrf_failed"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "login"

LANGUAGE_CODE = "en"
LANGUAGES = [("en", _("English"))]
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
        "form-action": ["'self'"],
        "base-uri": ["'none'"],
        "frame-ancestors": ["'none'"],
    },
}
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CONTENT_TYPE_NOSNIFF = True
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = ENVIRONMENT.secure
SECURE_SSL_REDIRECT = ENVIRONMENT.secure
SECURE_HSTS_SECONDS = 31536000 if ENVIRONMENT.secure else 0

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
    "OAS_VERSION": "3.1.1",
    "SERVE_INCLUDE_SCHEMA": False,
}

TENPADS_EMBEDDED = ENVIRONMENT.embedded
TENPADS_BATCH = ENVIRONMENT.batch
TENPADS_REDIS_URL = ENVIRONMENT.redis_url

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"format": "{asctime} {levelname} {name} {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "plain"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}

STATIC_ROOT.mkdir(parents=True, exist_ok=True)
if urlsplit(ENVIRONMENT.database_url).scheme.startswith("sqlite"):
    ENVIRONMENT.data_dir.mkdir(parents=True, exist_ok=True)

# A task whose worker dies is handed out again; the limits stay under half the visibility timeout, so that no task is
# handed out a second time while the first run still lives.
CELERY_BROKER_URL = ENVIRONMENT.redis_url
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BROKER_TRANSPORT_OPTIONS = {"visibility_timeout": 900}
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_TASK_TIME_LIMIT = 400
CELERY_TASK_SOFT_TIME_LIMIT = 360
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_TASK_SERIALIZER = "json"
CELERY_ACCEPT_CONTENT = ["json"]
CELERY_TIMEZONE = "UTC"
CELERY_BEAT_SCHEDULE = {"sweep": {"task": "coaching.jobs.tasks.sweep", "schedule": 60.0}}
