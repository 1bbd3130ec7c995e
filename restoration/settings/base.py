"""Settings, read from the environment. Nothing here is right for one machine only."""

from pathlib import Path
from typing import Any

from csp.constants import NONE, SELF
from django.utils.translation import gettext_lazy as _
from environs import Env

from restoration.settings.environment import database, public_address, secret_key

BASE_DIR = Path(__file__).resolve().parent.parent.parent
env = Env()

DATA_DIR = env.path("DATA_DIR", default=BASE_DIR / ".data")
BUILD_DIR = env.path("BUILD_DIR", default=BASE_DIR / ".build")
PUBLIC = public_address(env.str("PUBLIC_URL", default="http://localhost:8000"))
BEHIND_PROXY = env.bool("BEHIND_PROXY", default=False)

SECRET_KEY = secret_key(env.str("SECRET_KEY", default=""), env.str("SECRET_KEY_FILE", default=""))
DEBUG = env.bool("DEBUG", default=False)
ALLOWED_HOSTS = PUBLIC.allowed_hosts
CSRF_TRUSTED_ORIGINS = PUBLIC.trusted_origins

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "allauth",
    "allauth.account",
    "csp",
    "crispy_forms",
    "crispy_bootstrap5",
    "sites",
    "condition",
    "restoration",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "sites.middleware.SignInMiddleware",
    "sites.middleware.PrivatePagesMiddleware",
    "sites.middleware.ActorMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
]

ROOT_URLCONF = "restoration.urls"
WSGI_APPLICATION = "restoration.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "sites.context.page",
            ],
            "builtins": ["sites.templatetags.trade"],
        },
    }
]

DATABASES = {"default": database(env.str("DATABASE_URL", default=""), DATA_DIR)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
DATABASE_RULES = "restoration.rules"

AUTH_USER_MODEL = "sites.User"
AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
# Length and a list of common passwords, no rules of composition: NIST SP 800-63B, section 5.1.1.2.
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 12},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
]
LOGIN_URL = "account_login"
LOGIN_REDIRECT_URL = "today"
ACCOUNT_ADAPTER = "sites.accounts.StudioAccountAdapter"
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*", "password1*"]
ACCOUNT_USER_MODEL_USERNAME_FIELD = None
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_LOGOUT_REDIRECT_URL = "account_login"
ACCOUNT_RATE_LIMITS = {"login_failed": "10/5m/key", "login": "60/m/ip"}
ALLAUTH_TRUSTED_PROXY_COUNT = 1 if BEHIND_PROXY else 0

# Sign-in limits live in the cache: per-process memory would multiply and forget them.
CACHES = {
    "default": {
        "BACKEND": "django.core.cache.backends.db.DatabaseCache",
        "LOCATION": "saddlebar_cache",
    }
}

SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = PUBLIC.secure
SESSION_COOKIE_AGE = 60 * 60 * 24 * 30
SECURE_SSL_REDIRECT = PUBLIC.secure and BEHIND_PROXY
SECURE_HSTS_SECONDS = 60 * 60 * 24 * 365 if PUBLIC.secure else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = PUBLIC.secure
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if BEHIND_PROXY else None
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
CSRF_FAILURE_VIEW = "sites.web.csrf_failure"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "base-uri": [NONE],
        "object-src": [NONE],
    }
}

LANGUAGE_CODE = "en"
LANGUAGES = [("en", _("English"))]
TIME_ZONE = "UTC"
USE_TZ = True
LOCALE_PATHS = [BASE_DIR / "restoration" / "locale"]

STATIC_URL = "static/"
STATIC_ROOT = BUILD_DIR / "static"
STATICFILES_DIRS = [BASE_DIR / "static"]
STATICFILES_FINDERS = [
    "django.contrib.staticfiles.finders.FileSystemFinder",
    "sites.finders.PackageFileFinder",
    "sites.finders.FontFinder",
]
MEDIA_ROOT = env.path("MEDIA_DIR", default=DATA_DIR / "files")
STORAGES: dict[str, dict[str, Any]] = {
    "default": {
        "BACKEND": "django.core.files.storage.FileSystemStorage",
        "OPTIONS": {"location": MEDIA_ROOT, "file_permissions_mode": 0o640},
    },
    "staticfiles": {"BACKEND": "sites.finders.ModuleManifestStorage"},
}
FILE_UPLOAD_HANDLERS = ["django.core.files.uploadhandler.TemporaryFileUploadHandler"]
DATA_UPLOAD_MAX_NUMBER_FILES = 200
PHOTOGRAPH_MAX_PIXELS = env.int("PHOTOGRAPH_MAX_PIXELS", default=100_000_000)
PHOTOGRAPH_MAX_BYTES = env.int("PHOTOGRAPH_MAX_BYTES", default=120 * 1024 * 1024)
PRINT_TIMEOUT_SECONDS = env.int("PRINT_TIMEOUT_SECONDS", default=600)
PRINT_MEMORY_MIB = env.int("PRINT_MEMORY_MIB", default=3072)
WORKBOOK_MEMORY_MIB = env.int("WORKBOOK_MEMORY_MIB", default=1024)

CRISPY_ALLOWED_TEMPLATE_PACKS = "bootstrap5"
CRISPY_TEMPLATE_PACK = "bootstrap5"

EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
EMAIL_HOST = env.str("EMAIL_HOST", default="localhost")
DEFAULT_FROM_EMAIL = env.str("EMAIL_FROM", default=f"records@{PUBLIC.host}")

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "%(asctime)s %(levelname)s %(name)s %(message)s"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": env.str("LOG_LEVEL", default="INFO")},
    "loggers": {"fontTools": {"level": "WARNING"}},
}
