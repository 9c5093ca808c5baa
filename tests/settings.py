"""The settings under test: production's own, in a folder that goes away."""

import atexit
import os
import shutil
import tempfile

_folder = tempfile.mkdtemp(prefix="plumbrow-test-")
os.mkdir(f"{_folder}/static")  # WhiteNoise warns in each test without one
_owner = os.getpid()


def _remove() -> None:
    # Children forked by a test leave the folder to the process that made it.
    if os.getpid() == _owner:
        shutil.rmtree(_folder, ignore_errors=True)


atexit.register(_remove)
os.environ["DATA_DIR"] = _folder
os.environ.setdefault("SECRET_KEY", "tests-only-" + "0123456789abcdef" * 4)
# Settings of the person's own shell must not change what the tests say.
for _name in ("DEBUG", "PUBLIC_URL", "ALLOWED_HOSTS", "PROXIES", "EMAIL_URL"):
    os.environ.pop(_name, None)

from tracker.settings import *  # noqa: E402, F403
from tracker.settings import CACHES, DATABASES, REDIS_URL, STORAGES  # noqa: E402

if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    # No power cut is tested here, and waiting for the disk is most of the time.
    DATABASES["default"]["OPTIONS"]["init_command"] = (
        "PRAGMA journal_mode=WAL; PRAGMA synchronous=OFF;"
    )
if REDIS_URL:
    # Test processes side by side share one server, and clearing a cache empties its
    # whole database: each process has one of its own.
    _number = int(os.environ.get("PYTEST_XDIST_WORKER", "gw0").removeprefix("gw")) + 1
    CACHES["default"]["OPTIONS"] = {"db": _number}
else:
    CACHES = {"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}}
    CELERY_BROKER_URL = "memory://"
    CELERY_BROKER_TRANSPORT_OPTIONS = {}
# A task runs where it is sent; the tests of deploy/ start a real worker.
CELERY_TASK_ALWAYS_EAGER = True
CELERY_TASK_EAGER_PROPAGATES = True
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES["staticfiles"]["BACKEND"] = (
    "django.contrib.staticfiles.storage.StaticFilesStorage"
)
EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
