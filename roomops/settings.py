"""Settings of one room's server. Each name read from the environment is explained in DEVELOPERS.md."""

import os
import secrets
from datetime import date
from pathlib import Path

import dj_database_url

BASE_DIR = Path(__file__).resolve().parent.parent


def _yes(name: str) -> bool:
    return os.environ.get(name, "no").lower() in {"yes", "true", "on", "1"}


def _made_once(path: Path) -> str:
    """The secret key: made on the first start, readable by its owner alone, kept ever after."""
    try:
        with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as new:
            new.write(secrets.token_urlsafe(50))
    except FileExistsError:
        pass  # an earlier start, or a worker starting beside this one, made it
    return path.read_text() or secrets.token_urlsafe(50)


VAR = Path(os.environ.get("ROOMOPS_VAR") or BASE_DIR / "var").resolve()
STATIC_ROOT = VAR / "static"
STATIC_ROOT.mkdir(parents=True, exist_ok=True)

SECRET_KEY = _made_once(VAR / "secret_key")
DEBUG = _yes("ROOMOPS_DEBUG")
HTTPS = _yes("ROOMOPS_HTTPS")
ALLOWED_HOSTS = [
    host for host in os.environ.get("ROOMOPS_HOSTS", "localhost,127.0.0.1,[::1]").split(",") if host
]

# A demonstration: accounts of the invented room may sign in, and the doors may pretend another date.
DEMO = _yes("ROOMOPS_DEMO")
_today = os.environ.get("ROOMOPS_TODAY") if DEMO else None
DEMO_TODAY = date.fromisoformat(_today) if _today else None

DATABASE_URL = os.environ.get("DATABASE_URL") or f"sqlite:///{VAR / 'room.sqlite3'}"
DATABASES = {"default": dj_database_url.parse(DATABASE_URL, conn_max_age=60, conn_health_checks=True)}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    # One writer at a time, from the start of its transaction; what was acknowledged survives a power cut.
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,  # seconds a writer waits for the one before it
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

REDIS_URL = os.environ.get("REDIS_URL", "")
CELERY_BROKER_URL = REDIS_URL or None
CELERY_TASK_IGNORE_RESULT = True  # the job table is the truth; a message carries an id and nothing else
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_tables2",
    "roomops.records",
    "roomops.tasks",
    "roomops.screens",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "roomops.screens.door.Door",
]
ROOT_URLCONF = "roomops.urls"
WSGI_APPLICATION = "roomops.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,  # django_tables2 brings its own
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ]
        },
    }
]

AUTH_USER_MODEL = "records.Account"
LOGIN_URL = "/sign-in"
LOGIN_REDIRECT_URL = "/"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]

STATIC_URL = "/static/"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}

LANGUAGE_CODE = "en-us"
TIME_ZONE = "UTC"  # stored times; each room's pages and papers use the room's own zone
USE_TZ = True
APPEND_SLASH = False

SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if HTTPS else None
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in ALLOWED_HOSTS if host != "*"] if HTTPS else []
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "plain"}},
    "root": {"handlers": ["console"], "level": "INFO"},
}
