"""Calling in, results, tests on the pipe, fees."""

from .calling import Told, call_in, call_in_visit, cancel_call, move_call
from .fees import change_fee, pay_fee
from .pipe import (
    note_test,
    photograph_test,
    put_up_test,
    read_test,
    say_forecast,
    take_down_test,
)
from .results import Found, decide_hint, record_result

__all__ = [
    "Found",
    "Told",
    "call_in",
    "call_in_visit",
    "cancel_call",
    "change_fee",
    "decide_hint",
    "move_call",
    "note_test",
    "pay_fee",
    "photograph_test",
    "put_up_test",
    "read_test",
    "record_result",
    "say_forecast",
    "take_down_test",
]
