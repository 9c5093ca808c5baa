"""Tests on the pipe: records of water, air and gas tests, judged by the code book.

`judge` compares one record with the rules of a book and edition; `explained_end` says
what temperature alone does to a shut-in gas; `life_of_test` says whether a test still
stands. Results are aids: the adopted code, the inspector and a licensed person decide.
"""

from inspections.pipe_tests.books import Amendment, Need, amendments_from, needs
from inspections.pipe_tests.judge import judge
from inspections.pipe_tests.life import (
    TestEvent,
    TestLife,
    life_of_test,
    why_not_on_test,
)
from inspections.pipe_tests.physics import (
    PSI_PER_FOOT,
    atmosphere_psi,
    explained_end,
    foot_of_head,
    psi_of_head,
)
from inspections.pipe_tests.records import TestRecord, frost_warning
from inspections.pipe_tests.verdicts import Check, Verdict

__all__ = [
    "PSI_PER_FOOT",
    "Amendment",
    "Check",
    "Need",
    "TestEvent",
    "TestLife",
    "TestRecord",
    "Verdict",
    "amendments_from",
    "atmosphere_psi",
    "explained_end",
    "foot_of_head",
    "frost_warning",
    "judge",
    "life_of_test",
    "needs",
    "psi_of_head",
    "why_not_on_test",
]
