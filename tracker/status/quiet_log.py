"""Keeps secrets out of the log: an address is written as /b/… or /calendars/…"""

import logging
import re

SECRET = re.compile(r"/(b|calendars)/[^/\s?]+")
LOGGERS = ("django.request", "django.security.csrf", "django.server")


class WithoutSecrets(logging.Filter):
    def filter(self, record: logging.LogRecord) -> bool:
        record.msg = SECRET.sub(r"/\1/…", str(record.msg))
        if isinstance(record.args, tuple):
            record.args = tuple(_masked(part) for part in record.args)
        return True


def _masked(part: object) -> object:
    return SECRET.sub(r"/\1/…", part) if isinstance(part, str) else part


def keep_secrets_out() -> None:
    for name in LOGGERS:
        logging.getLogger(name).addFilter(WithoutSecrets())
