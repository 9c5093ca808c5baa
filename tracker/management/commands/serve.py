"""Everything in one command: web, worker, clock and a private broker as one group."""

import os
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.core.management import BaseCommand, CommandError, call_command
from django.db import connections

from tracker import parts, prepare
from tracker.supervise import Child, Group

HERE = ("127.0.0.1", "localhost", "::1")


class Command(BaseCommand):
    # They read every page's module, which is a second; deploy/test runs them.
    requires_system_checks: list[str] = []
    help = (
        "Prepares the data folder and database, then runs web, worker, clock and "
        "(without REDIS_URL) a private broker until SIGTERM or Ctrl-C."
    )

    def add_arguments(self, parser: Any) -> None:
        parser.add_argument(
            "part",
            nargs="?",
            choices=sorted(parts.PARTS),
            help="only this program, for unit files; nothing is prepared",
        )
        parser.add_argument(
            "--empty", action="store_true", help="no demo when the database is empty"
        )
        parser.add_argument(
            "--prepare",
            action="store_true",
            help="only prepare: migrations, static files, demo",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        prepare.make_folders()
        os.environ.setdefault("NUMBA_CACHE_DIR", str(settings.DATA_DIR / "numba"))
        if options["part"]:
            argv = parts.PARTS[options["part"]]()
            os.execv(argv[0], argv)  # noqa: S606 (ours, and no shell)
        lock = prepare.take_lock()
        if not options["prepare"]:
            prepare.check_address()
        try:
            self._prepare(empty=options["empty"])
            if not options["prepare"]:
                self._run()
        finally:
            lock.close()

    def _prepare(self, *, empty: bool) -> None:
        call_command("migrate", interactive=False, verbosity=0)
        prepare.static_files()
        if not empty:
            prepare.demo(self.stdout.write)

    def _run(self) -> None:
        sign_ins = prepare.sign_ins()
        connections.close_all()
        env = dict(os.environ, PYTHONUNBUFFERED="1")
        children, socket_path = [], None
        if not settings.REDIS_URL:
            program = parts.broker_program()
            if program:
                child, env["REDIS_URL"] = parts.broker(
                    program, settings.DATA_DIR / "broker"
                )
                children.append(child)
                socket_path = Path(env["REDIS_URL"].removeprefix("unix://"))
            else:
                self.stdout.write("No broker program here: the queue is a folder.")
        ready = {"web": parts.web_answers}
        children += [
            Child(name, argv(), ready.get(name)) for name, argv in parts.PARTS.items()
        ]
        group = Group(children, env=env, when_up=lambda: self._say(sign_ins))
        try:
            status = group.run()
        finally:
            if socket_path and socket_path.parent.name.startswith("plumbrow-"):
                socket_path.unlink(missing_ok=True)
                socket_path.parent.rmdir()
        if status:
            raise CommandError("Stopped: see the lines above.")

    def _say(self, sign_ins: str) -> None:
        lines = ["", "Plumbrow is running.", f"  Office  {settings.PUBLIC_URL}/"]
        lines.append(f"  Phones  {settings.PUBLIC_URL}/phone/")
        public = urlsplit(settings.PUBLIC_URL)
        if public.scheme == "http" and public.hostname not in HERE:
            lines.append(
                "  Phones need https: put a TLS proxy in front (deploy/nginx.conf) "
                "and set PUBLIC_URL."
            )
        if os.geteuid() == 0:
            lines.append("  Running as root: fine for a trial, see deploy/ for units.")
        if sign_ins:
            lines += ["", *sign_ins.splitlines()]
        self.stdout.write("\n".join([*lines, "", "Ctrl-C stops it.", ""]))
        self.stdout.flush()
