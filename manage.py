#!/usr/bin/env python
"""Django's command line. A bad setting ends it with one sentence."""

import os
import sys

# These read a file or standard input and print: no secret of the house is needed.
PURE_COMMANDS = ("import_lots", "inspection_dates", "look_ahead", "size")


# Options that only Django knows.
DJANGOS = (
    *("-v", "--ver", "--settings", "--pythonpath", "--traceback"),
    *("--no-color", "--force-color", "--skip-checks"),
)


def look_ahead() -> None:
    """The planner on files needs neither Django nor settings: it starts at once.

    A signal is heard from here on, so that `solve` always says the best plan so far.
    """
    from tracker.planning.core.stopping import listen

    listen(sys.argv[2:])
    if any(one.startswith(DJANGOS) for one in sys.argv[2:]):
        return
    from tracker.planning.core import cli

    sys.exit(cli.main(sys.argv[2:]))


def main() -> None:
    if sys.argv[1:2] == ["look_ahead"]:
        look_ahead()
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tracker.settings")
    pure = "".join(sys.argv[1:2]) in PURE_COMMANDS
    if pure:
        import secrets

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
