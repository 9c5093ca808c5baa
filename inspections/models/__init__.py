"""Inspections asked for and their results, tests on the pipe, notices and feeds."""

from .feeds import CalendarLink
from .notices import Delivery, LastLook, Notice, PushAddress
from .pipe import Forecast, PipeTest
from .requests import (
    Finding,
    InspectionRequest,
    InspectionResult,
    VisitFee,
    WalkHint,
)

__all__ = [
    "CalendarLink",
    "Delivery",
    "Finding",
    "Forecast",
    "InspectionRequest",
    "InspectionResult",
    "LastLook",
    "Notice",
    "PipeTest",
    "PushAddress",
    "VisitFee",
    "WalkHint",
]
