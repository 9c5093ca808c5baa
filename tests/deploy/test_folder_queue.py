"""The queue in a folder: a reader never meets a half-written file."""

import os
from collections.abc import Iterator
from pathlib import Path
from queue import Empty
from typing import Any

import pytest
from kombu import Connection
from kombu.exceptions import ChannelError

from tracker import folder_queue
from tracker.celery import app

MESSAGE = {"body": "x" * 100}


@pytest.fixture
def channel(tmp_path: Path) -> Iterator[Any]:
    for name in ("queue", "control"):
        (tmp_path / name).mkdir()
    options = {
        "data_folder_in": str(tmp_path / "queue"),
        "data_folder_out": str(tmp_path / "queue"),
        "control_folder": str(tmp_path / "control"),
    }
    with Connection("filesystem://", transport_options=options) as connection:
        yield connection.channel()


def test_the_app_uses_it(channel: Any) -> None:
    assert app.main == "plumbrow"
    assert isinstance(channel, folder_queue.Channel)


def test_what_is_put_in_is_taken_out_once(channel: Any) -> None:
    for number in range(3):
        channel._put("celery", {"number": number})
    found = [channel._get("celery")["number"] for _ in range(3)]

    assert sorted(found) == [0, 1, 2]
    with pytest.raises(Empty):
        channel._get("celery")


def test_who_reads_while_a_message_is_written_finds_nothing(
    channel: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    replace, looked = os.replace, []

    def look_first(part: Path, file: Path) -> None:
        assert part.read_bytes()
        with pytest.raises(Empty):
            channel._get("celery")
        looked.append(file)
        replace(part, file)

    monkeypatch.setattr(os, "replace", look_first)
    channel._put("celery", MESSAGE)

    assert len(looked) == 1
    assert channel._get("celery") == MESSAGE


def test_a_table_of_queues_is_whole_while_another_is_bound(
    channel: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    channel._queue_bind("celery", "celery", "", "celery")
    replace, seen = os.replace, []

    def look_first(part: Path, file: Path) -> None:
        seen.append([row.queue for row in channel.get_table("celery")])
        replace(part, file)

    monkeypatch.setattr(os, "replace", look_first)
    for _ in range(2):
        channel._queue_bind("celery", "other", "", "other")

    assert seen == [["celery"]]
    assert [row.queue for row in channel.get_table("celery")] == ["other", "celery"]


def test_a_folder_that_is_gone_is_said_in_words(channel: Any, tmp_path: Path) -> None:
    (tmp_path / "queue").rmdir()

    with pytest.raises(ChannelError, match="The queue cannot write"):
        channel._put("celery", MESSAGE)
