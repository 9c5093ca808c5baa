import os
import re
import runpy
import subprocess
import sys
from pathlib import Path

import pytest

from tracker.env import VARIABLES, BadSetting

TOP = Path(__file__).resolve().parents[2]


def settings(monkeypatch, tmp_path, **values):
    for name in VARIABLES:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("DATA_DIR", str(tmp_path))
    monkeypatch.setenv("SECRET_KEY", "abcdefgh" * 8)
    for name, value in values.items():
        monkeypatch.setenv(name, value)
    return runpy.run_path(str(TOP / "tracker" / "settings.py"))


def test_the_default_is_sqlite_that_keeps_what_it_has_confirmed(monkeypatch, tmp_path):
    database = settings(monkeypatch, tmp_path)["DATABASES"]["default"]

    assert (database["NAME"], database["CONN_MAX_AGE"], database["OPTIONS"]) == (
        f"{tmp_path}/plumbrow.sqlite3",
        None,
        {
            "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
        },
    )


def test_an_https_address_turns_every_safeguard_on(monkeypatch, tmp_path):
    found = settings(monkeypatch, tmp_path, PUBLIC_URL="https://plumbing.example")

    assert {
        name: found[name]
        for name in (
            "SECURE_SSL_REDIRECT",
            "SESSION_COOKIE_SECURE",
            "CSRF_COOKIE_SECURE",
            "SECURE_PROXY_SSL_HEADER",
            "CSRF_TRUSTED_ORIGINS",
            "PROXIES",
        )
    } == {
        "SECURE_SSL_REDIRECT": True,
        "SESSION_COOKIE_SECURE": True,
        "CSRF_COOKIE_SECURE": True,
        "SECURE_PROXY_SSL_HEADER": ("HTTP_X_FORWARDED_PROTO", "https"),
        "CSRF_TRUSTED_ORIGINS": ["https://plumbing.example"],
        "PROXIES": 1,
    }
    assert found["SECURE_HSTS_SECONDS"] > 0
    assert "plumbing.example" in found["ALLOWED_HOSTS"]


def test_without_a_proxy_the_header_of_one_is_not_believed(monkeypatch, tmp_path):
    assert settings(monkeypatch, tmp_path)["SECURE_PROXY_SSL_HEADER"] is None


def test_cache_and_queue_follow_redis_url(monkeypatch, tmp_path):
    found = settings(monkeypatch, tmp_path, REDIS_URL="unix:///run/broker.sock")

    assert (found["CACHES"]["default"]["LOCATION"], found["CELERY_BROKER_URL"]) == (
        "unix:///run/broker.sock",
        "redis+socket:///run/broker.sock",
    )


@pytest.mark.parametrize(
    "values",
    [
        {"PUSH_PUBLIC_KEY": "a"},
        {"PUSH_PUBLIC_KEY": "a", "PUSH_PRIVATE_KEY": "b"},
        {"PUSH_PUBLIC_KEY": "a", "PUSH_PRIVATE_KEY": "b", "PUSH_CONTACT": "me"},
    ],
)
def test_half_a_set_of_push_keys_is_refused(monkeypatch, tmp_path, values):
    with pytest.raises(BadSetting, match=r"^PUSH_"):
        settings(monkeypatch, tmp_path, **values)


def test_a_bad_value_ends_the_command_with_one_sentence(tmp_path):
    done = subprocess.run(
        [sys.executable, "manage.py", "serve"],
        cwd=TOP,
        env={**os.environ, "DATA_DIR": str(tmp_path), "PORT": "eighty"},
        capture_output=True,
        text=True,
    )

    assert (done.returncode, done.stdout, done.stderr) == (
        1,
        "",
        "PORT must be a whole number from 1 to 65535, not 'eighty'.\n",
    )


def test_every_variable_is_documented():
    text = (TOP / "DEVELOPERS.md").read_text("utf-8")
    section = text.split("\n## Settings\n")[1].split("\n## ")[0]

    documented = re.findall(r"^\| `([A-Z_]+)` \|", section, re.MULTILINE)

    assert documented == list(VARIABLES)


def test_only_one_module_reads_settings_from_the_environment():
    """Others would escape the table. Handing the environment on is no reading."""
    reading = re.compile(r"environ(\.get\(|\[)\s*\"([A-Z_]+)\"|getenv\(")
    not_ours = {"DJANGO_SETTINGS_MODULE", "NUMBA_CACHE_DIR", "XDG_CACHE_HOME"}
    found = [
        f"{path.relative_to(TOP)}: {match.group(0)}"
        for folder in ("tracker", "phases", "inspections")
        for path in (TOP / folder).rglob("*.py")
        for match in reading.finditer(path.read_text("utf-8"))
        if match.group(2) not in not_ours
    ]

    assert found == []
