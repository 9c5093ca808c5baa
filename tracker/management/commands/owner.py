"""The first owner of an empty house, or a new password for one who forgot it."""

import getpass
import sys
from typing import Any

from django.contrib.auth import get_user_model
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management import BaseCommand, CommandError


class Command(BaseCommand):
    help = (
        "Makes an owner who can sign in, or gives an owner a new password. "
        "The password is asked for, or read from standard input."
    )

    def add_arguments(self, parser: Any) -> None:
        parser.add_argument("username")
        parser.add_argument("--name", default="", help="the name that pages show")

    def handle(self, *args: Any, **options: Any) -> None:
        members = get_user_model().objects
        username = options["username"]
        member = members.filter(username=username).first()
        if member is not None and member.role != "owner":
            raise CommandError(f"{username} is there already and is no owner.")
        password = self._password()
        if member is None:
            members.create_user(
                username,
                password,
                name=options["name"] or username,
                role="owner",
            )
            self.stdout.write(f"{username} can sign in as owner.")
            return
        member.set_password(password)
        member.is_active = True
        member.save(update_fields=["password", "is_active"])
        self.stdout.write(f"{username} has a new password.")

    def _password(self) -> str:
        if sys.stdin.isatty():
            password = getpass.getpass("Password: ")
            if getpass.getpass("Once more: ") != password:
                raise CommandError("The two passwords differ. Nothing was changed.")
        else:
            password = sys.stdin.readline().rstrip("\r\n")
        try:
            validate_password(password)
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from None
        return password
