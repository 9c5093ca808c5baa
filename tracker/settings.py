"""Settings, all from the environment (tracker/env.py declares the variables)."""

from pathlib import Path
from urllib.parse import urlsplit

from tracker.env import BadSetting, Env

env = Env()
BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = env.folder("DATA_DIR", BASE_DIR / "data")
DEBUG = env.flag("DEBUG")
SECRET_KEY = env.secret_key(DATA_DIR, debug=DEBUG)

BIND = env.text("BIND", "127.0.0.1")
PORT = env.number("PORT", 8000, low=1, high=65535)
PUBLIC_URL = env.web_address("PUBLIC_URL", f"http://127.0.0.1:{PORT}")
HTTPS = PUBLIC_URL.startswith("https://")
# We never speak TLS ourselves, so an https address has a proxy in front of it.
PROXIES = env.number("PROXIES", 1 if HTTPS else 0, low=0, high=5)
WEB_WORKERS = env.number("WEB_WORKERS", 2, low=1, high=64)
WEB_THREADS = env.number("WEB_THREADS", 4, low=1, high=64)
TASK_WORKERS = env.number("TASK_WORKERS", 2, low=1, high=64)

ALLOWED_HOSTS = [
    *env.names("ALLOWED_HOSTS"),
    str(urlsplit(PUBLIC_URL).hostname),
    "localhost",
    "127.0.0.1",
    "[::1]",
]
CSRF_TRUSTED_ORIGINS = [PUBLIC_URL]

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.contrib.humanize",
    "rest_framework",
    "drf_spectacular",
    "django_htmx",
    "simple_history",
    "django_celery_beat",
    "axes",
    "tracker",
    "tracker.sites",
    "tracker.people",
    "phases",
    "inspections",
    "tracker.planning",
    "tracker.desk",
    "tracker.phone",
    "tracker.status",
]
MIDDLEWARE = [
    "tracker.unread.read_the_rest",
    "django.middleware.security.SecurityMiddleware",
    "tracker.headers.keep_to_ourselves",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "simple_history.middleware.HistoryRequestMiddleware",
    "axes.middleware.AxesMiddleware",
]
ROOT_URLCONF = "tracker.urls"
WSGI_APPLICATION = "tracker.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.template.context_processors.i18n",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    }
]

# --- rows -------------------------------------------------------------------------
_database = env.database("DATABASE_URL", f"sqlite:///{DATA_DIR}/plumbrow.sqlite3")
DATABASES: dict[str, dict[str, object]]
if _database.kind == "sqlite":
    DATABASES = {
        "default": {
            "ENGINE": "django.db.backends.sqlite3",
            "NAME": _database.name,
            "CONN_MAX_AGE": None,
            "OPTIONS": {
                # FULL: a receipt given to a phone is on disk.
                "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
                # Take the write lock at once: a transaction that reads and then
                # writes would otherwise fail without waiting.
                "transaction_mode": "IMMEDIATE",
                "timeout": 20,
            },
            # A file, as in production: the in-memory default has no WAL.
            "TEST": {"NAME": DATA_DIR / "test.sqlite3"},
        }
    }
else:
    DATABASES = {
        "default": {
            "ENGINE": "django.db.backends.postgresql",
            "NAME": _database.name,
            "USER": _database.user,
            "PASSWORD": _database.password,
            "HOST": _database.host,
            "PORT": _database.port,
            "CONN_MAX_AGE": None,
            "CONN_HEALTH_CHECKS": True,
            "OPTIONS": dict(_database.options),
        }
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# --- cache and queue --------------------------------------------------------------
REDIS_URL = env.redis("REDIS_URL")
if REDIS_URL:
    CACHES = {
        "default": {
            "BACKEND": "django.core.cache.backends.redis.RedisCache",
            "LOCATION": REDIS_URL,
            "KEY_PREFIX": "plumbrow",
        }
    }
    # redis-py and Celery name a socket differently.
    CELERY_BROKER_URL = REDIS_URL.replace("unix://", "redis+socket://", 1)
    # A task of a machine that died is given out again after an hour.
    CELERY_BROKER_TRANSPORT_OPTIONS: dict[str, object] = {"visibility_timeout": 3600}
else:
    CACHES = {
        "default": {
            "BACKEND": "django.core.cache.backends.filebased.FileBasedCache",
            "LOCATION": str(DATA_DIR / "cache"),
        }
    }
    CELERY_BROKER_URL = "filesystem://"
    CELERY_BROKER_TRANSPORT_OPTIONS = {
        "data_folder_in": str(DATA_DIR / "queue"),
        "data_folder_out": str(DATA_DIR / "queue"),
        "control_folder": str(DATA_DIR / "queue-control"),
        "polling_interval": 0.1,
    }
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_TASK_SOFT_TIME_LIMIT = 900
CELERY_TASK_TIME_LIMIT = 960
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_BEAT_SCHEDULER = "django_celery_beat.schedulers:DatabaseScheduler"
CELERY_TIMEZONE = "UTC"

# --- people -----------------------------------------------------------------------
AUTH_USER_MODEL = "people.Member"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "/sign-in/"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = LOGIN_URL
SESSION_COOKIE_AGE = 14 * 24 * 3600
AXES_FAILURE_LIMIT = 8
AXES_COOLOFF_TIME = 0.25  # hours
# One person on one address: nobody can lock the office out from elsewhere.
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_CLIENT_IP_CALLABLE = "tracker.clients.client_ip"
AXES_RESET_ON_SUCCESS = True
AXES_ENABLE_ADMIN = False
AXES_LOCKOUT_CALLABLE = "tracker.desk.sign_in.views.locked_out"

# --- words and time ---------------------------------------------------------------
USE_TZ = True
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en"
LANGUAGES = [("en", "English"), ("es", "Español")]
USE_I18N = True

# --- files ------------------------------------------------------------------------
STATIC_URL = "/static/"
STATIC_ROOT = DATA_DIR / "static"
MEDIA_URL = "/media/"
MEDIA_ROOT = DATA_DIR / "media"
FILE_UPLOAD_PERMISSIONS = 0o640
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if DEBUG
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}
# Without a file: a batch of a phone's operations, a chunk of a photo.
DATA_UPLOAD_MAX_MEMORY_SIZE = 8 * 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FIELDS = 5000

# --- safety -----------------------------------------------------------------------
SECURE_SSL_REDIRECT = HTTPS
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if PROXIES else None
SECURE_REDIRECT_EXEMPT = [r"^healthz$"]
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if HTTPS else 0
SESSION_COOKIE_SECURE = HTTPS
CSRF_COOKIE_SECURE = HTTPS
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
# Subdomains and the browsers' preload list are for the owner of the domain to decide.
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]

# --- REST -------------------------------------------------------------------------
REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "rest_framework.authentication.SessionAuthentication"
    ],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "EXCEPTION_HANDLER": "tracker.phone.problems.exception_handler",
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Plumbrow",
    "VERSION": "1",
    "SERVE_INCLUDE_SCHEMA": False,
    "SCHEMA_PATH_PREFIX": "/api/v1",
}

# --- messages out -----------------------------------------------------------------
_mail = env.mail("EMAIL_URL")
EMAIL_BACKEND = "django.core.mail.backends.dummy.EmailBackend"
DEFAULT_FROM_EMAIL = env.text("EMAIL_FROM", "plumbrow@localhost")
if _mail:
    EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    EMAIL_HOST, EMAIL_PORT = _mail.host, _mail.port
    EMAIL_HOST_USER, EMAIL_HOST_PASSWORD = _mail.user, _mail.password
    EMAIL_USE_SSL, EMAIL_USE_TLS = _mail.tls_from_start, _mail.starttls
    EMAIL_TIMEOUT = 20
PUSH_PUBLIC_KEY = env.text("PUSH_PUBLIC_KEY")
PUSH_PRIVATE_KEY = env.text("PUSH_PRIVATE_KEY")
PUSH_CONTACT = env.text("PUSH_CONTACT")
if bool(PUSH_PUBLIC_KEY) != bool(PUSH_PRIVATE_KEY):
    raise BadSetting("PUSH_PUBLIC_KEY and PUSH_PRIVATE_KEY must be set together.")
if PUSH_PUBLIC_KEY and not PUSH_CONTACT.startswith(("mailto:", "https:")):
    raise BadSetting("PUSH_CONTACT must be a mailto: or https: address.")

# --- log --------------------------------------------------------------------------
LOG_LEVEL = env.one_of("LOG_LEVEL", "INFO", ("DEBUG", "INFO", "WARNING", "ERROR"))
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {
        "line": {"format": "%(asctime)s %(levelname)s %(name)s: %(message)s"}
    },
    "handlers": {
        "stdout": {
            "class": "logging.StreamHandler",
            "stream": "ext://sys.stdout",
            "formatter": "line",
        }
    },
    "root": {"handlers": ["stdout"], "level": LOG_LEVEL},
    "loggers": {
        "django": {"handlers": [], "level": LOG_LEVEL, "propagate": True},
        "axes": {"level": "WARNING"},
    },
}
