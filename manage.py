#!/usr/bin/env python
"""Django's command line. A bad setting ends it with one sentence."""

import os
import secrets
import sys

# These read a file or standard input and print: no secret of the house is needed.
PURE_COMMANDS = ("import_lots", "inspection_dates", "look_ahead", "size")


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tracker.settings")
    pure = "".join(sys.argv[1:2]) in PURE_COMMANDS
    if pure:
        os.environ.setdefault("SECRET_KEY", secrets.token_urlsafe(64))
    from tracker.env import BadSetting, ready_folder

    try:
        from django.conf import settings

        database = settings.DATABASES["default"]
        stores = not pure or "--apply" in sys.argv
        if stores and "sqlite" in database["ENGINE"]:
            ready_folder(str(database["NAME"]))
    except BadSetting as error:
        sys.exit(str(error))
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
