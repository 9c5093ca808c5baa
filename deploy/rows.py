"""The rows of the database as one file, and back; SQLite and PostgreSQL."""

import contextlib
import glob
import os
import re
import shutil
import sqlite3
import subprocess
from pathlib import Path
from typing import Any

from deploy.archive import BackupTrouble
from deploy.servers import ServerTrouble, postgres_programs


def kind(database: dict[str, Any]) -> str:
    """The ending of the file: "sqlite3" or "pgdump"."""
    return "sqlite3" if database["ENGINE"].endswith("sqlite3") else "pgdump"


def save(database: dict[str, Any], target: Path) -> None:
    """Writes the rows as they are at this moment; nobody has to stop working."""
    if kind(database) == "sqlite3":
        _save_sqlite(Path(database["NAME"]), target)
    else:
        _tool(
            "pg_dump",
            database,
            "--format=custom",
            "--no-owner",
            "--no-acl",
            f"--file={target}",
        )


def load(database: dict[str, Any], source: Path, aside: Path) -> None:
    """Puts the rows of `source` in place; what was there is kept in `aside`."""
    if kind(database) == "sqlite3":
        _load_sqlite(Path(database["NAME"]), source, aside)
        return
    save(database, aside / "rows.pgdump")
    _empty_postgres(database)
    _tool(
        "pg_restore",
        database,
        "--no-owner",
        "--no-acl",
        "--single-transaction",
        "--exit-on-error",
        f"--dbname={database['NAME']}",
        str(source),
    )


def _save_sqlite(name: Path, target: Path) -> None:
    if not name.exists():
        raise BackupTrouble(f"There is no database {name}.")
    with (
        contextlib.closing(sqlite3.connect(f"file:{name}?mode=ro", uri=True)) as source,
        contextlib.closing(sqlite3.connect(target)) as copy,
    ):
        source.backup(copy)
        # One file, without the log beside it.
        copy.execute("PRAGMA journal_mode=DELETE")
        _check(copy)


def _load_sqlite(name: Path, source: Path, aside: Path) -> None:
    with contextlib.closing(sqlite3.connect(source)) as copy:
        _check(copy)
    for ending in ("", "-wal", "-shm"):
        old = name.with_name(name.name + ending)
        if old.exists():
            shutil.move(old, aside / old.name)
    name.parent.mkdir(parents=True, exist_ok=True)
    shutil.move(source, name)


def _check(copy: sqlite3.Connection) -> None:
    try:
        answer = copy.execute("PRAGMA integrity_check").fetchone()[0]
    except sqlite3.DatabaseError as error:
        answer = str(error)
    if answer != "ok":
        raise BackupTrouble(f"The rows are damaged: {answer}.")


def _empty_postgres(database: dict[str, Any]) -> None:
    """Refused while others are connected: they would go on with the old rows."""
    from django.db import connection

    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM pg_stat_activity "
            "WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )
        others = cursor.fetchone()[0]
        if others:
            raise BackupTrouble(
                f"The database is in use by {others} connections: "
                "stop web, worker and clock first."
            )
        cursor.execute("DROP SCHEMA public CASCADE")
        cursor.execute("CREATE SCHEMA public")
    connection.close()


def _tool(name: str, database: dict[str, Any], *arguments: str) -> None:
    """Runs pg_dump or pg_restore; the password goes by the environment."""
    values = {
        "PGHOST": database["HOST"],
        "PGPORT": database["PORT"],
        "PGUSER": database["USER"],
        "PGPASSWORD": database["PASSWORD"],
        "PGDATABASE": database["NAME"],
        **{f"PG{key.upper()}": value for key, value in database["OPTIONS"].items()},
    }
    env = {**os.environ, **{key: str(value) for key, value in values.items() if value}}
    done = subprocess.run(
        [_program(name), *arguments], env=env, capture_output=True, text=True
    )
    if done.returncode:
        raise BackupTrouble(f"{name} failed: {done.stderr.strip()}")


def _program(name: str) -> str:
    """The oldest that knows this server; what a newer one writes may be refused."""
    from django.db import connection

    server = connection.cursor().connection.info.server_version // 10000
    folders = [*os.get_exec_path(), *glob.glob("/usr/lib/postgresql/*/bin")]
    with contextlib.suppress(ServerTrouble):
        folders.append(str(postgres_programs()[0]))
    there = {
        path for folder in folders if os.access(path := f"{folder}/{name}", os.X_OK)
    }
    fit = sorted(
        (version, path) for path in there if (version := _major(path)) >= server
    )
    connection.close()
    if not fit:
        raise BackupTrouble(
            f"{name} {server} or newer is missing: "
            f"install the package postgresql-client-{server}."
        )
    return fit[0][1]


def _major(program: str) -> int:
    """18 for "pg_dump (PostgreSQL) 18.6"; 0 for what cannot say."""
    said = subprocess.run([program, "--version"], capture_output=True, text=True)
    found = re.search(r"\) (\d+)", said.stdout)
    return int(found.group(1)) if found else 0
