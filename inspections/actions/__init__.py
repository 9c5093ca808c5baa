"""Calling in, and results."""

from .calling import call_in, cancel_call
from .results import Found, record_result

__all__ = ["Found", "call_in", "cancel_call", "record_result"]
