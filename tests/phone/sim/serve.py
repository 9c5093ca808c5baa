"""A throw-away server of the real views, with a back door for the simulation.

Run: python -m tests.phone.sim.serve FOLDER PORT [PLANTED_BUG], PORT 0 for any free
one. It migrates a database in FOLDER, prints {"port": n} and serves until its standard
input is closed.
"""

import json
import os
import sys
import threading
from pathlib import Path


def settle_environment(folder: Path) -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
    import django
    from django.conf import settings

    django.setup()
    # The folder outlives a killed server, so the next one goes on with its rows.
    settings.DATABASES["default"]["NAME"] = folder / "sim.sqlite3"
    settings.MEDIA_ROOT = folder / "media"
    settings.ROOT_URLCONF = "tests.phone.sim.urls"
    settings.ALLOWED_HOSTS = ["*"]
    from django.db import connections

    connections["default"].settings_dict["NAME"] = folder / "sim.sqlite3"


def main() -> None:
    folder = Path(sys.argv[1])
    settle_environment(folder)
    from django.core.management import call_command
    from django.core.servers.basehttp import ThreadedWSGIServer, WSGIRequestHandler
    from django.db import connections

    from tests.phone.sim import faults, plants

    if not (folder / "sim.sqlite3").exists():
        call_command("migrate", verbosity=0)
        connections.close_all()  # so that the file alone is the whole database
    if len(sys.argv) > 3:
        plants.PLANTS[sys.argv[3]]()

    class Quiet(WSGIRequestHandler):
        # Head and body of an answer are two writes; waiting between costs 40 ms each.
        disable_nagle_algorithm = True

        def log_message(self, *args: object) -> None:
            pass

    server = ThreadedWSGIServer(("127.0.0.1", int(sys.argv[2])), Quiet)
    server.daemon_threads = True
    server.set_app(faults.application())
    threading.Thread(target=server.serve_forever, daemon=True).start()
    print(json.dumps({"port": server.server_port}), flush=True)
    # Nobody reads the pipe from here on, and a full one would stop the server.
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    sys.stdin.read()
    os._exit(0)


if __name__ == "__main__":
    main()
