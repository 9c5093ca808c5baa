#!/usr/bin/env python
"""Django's command line. A bad setting ends it with one sentence."""

import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tracker.settings")
    from tracker.env import BadSetting

    try:
        from django.conf import settings

        settings.INSTALLED_APPS  # noqa: B018 (reads the settings)
    except BadSetting as error:
        sys.exit(str(error))
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
