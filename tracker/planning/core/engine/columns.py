"""Names of the columns of the engine's integer tables, and its limits.

All numbers are int64, so that each function is compiled for one kind of number only.
"""

from typing import Any, NamedTuple

# Fixed facts of a job.
SUB = 0  # subdivision
RELEASE = 1  # earliest quarter, from ready day or pin
NEED = 2  # day by whose end the inspection should have passed
PRICE = 3  # of one day late
JUR = 4  # jurisdiction, -1 when it is not inspected
PRED = 5  # job of the phase before, -1 when that has passed
SUCC = 6  # job of the phase after, -1
BUILDER = 7  # builder's days between this pass and the next phase
EXPOSED = 8  # 1 when rain stops it
TOLD_DAY = 9  # published start day, NEVER when not published
TOLD_CREW = 10  # published crew, -1
PIN_DAY = 11  # -1 when not pinned
PIN_CREW = 12
AIM = 13  # day aimed at: NEED less the buffer
AIM_PRICE = 14  # of one day inside the buffer
FLOOR = 15  # what it costs whatever the plan; no part of COST
FIXED_WIDTH = 16

# Where a job stands in the current plan.
CREW = 0  # -1: nothing to do but the inspection
PREV = 1  # job before it on its crew; the crew's own row stands at the head
NEXT = 2  # job after it, -1
START = 3
END = 4
ASKED = 5  # first day on which its inspection could be
PASS = 6  # day of its inspection, or last day of work when not inspected
COST = 7  # of its lateness and changes above FLOOR; in a crew's row: of all its jobs
HOLD = 8  # 1: not before the published day
KEY = 9  # dates are given out in the order of the keys
UNDONE = 10  # the columns before this one are put back when a trial is refused
CELL_PREV = 10  # neighbours among the inspections of that day
CELL_NEXT = 11
QUEUED = 12  # 1: it can only be later; 2: it may be earlier
STAMP = 13  # trial in which it was touched last
PLACE = 14  # its place in ORDER
SUB_PLACE = 15  # its place in SUB_JOBS
LATEST = 16  # start beyond which more is late, as of the last look
LATER = 17  # what a day more costs then
OWN_LATEST, OWN_LATER = 18, 19  # the same, whatever the crew does next
LIVE_WIDTH = 20

# A jurisdiction's rules.
LEAD, CUTOFF, CAP = 0, 1, 2

# Sizes and prices.
N, CREWS, LINES, REACH = 0, 1, 2, 3  # jobs, crews, jurisdictions, days
MOVE, CREW_CHANGE, DAY_CHANGE = 4, 5, 6
TOLD_COUNT, OPEN_COUNT = 7, 8
# Limits of a search step: jobs of a run, places from a job of the same subdivision.
# Then, of a hundred picks, those among the jobs that cost something.
LONGEST, NEAR, HOT_PICKS = 9, 10, 11

# Lists of the problem: published jobs, jobs to be worked on, and where in SUB_JOBS
# each subdivision's jobs start.
TOLD, OPEN, SUB_START = 0, 1, 2

# Lists of the plan: the heap of jobs to look at again, the rows saved in this trial,
# open jobs by start, the same by subdivision, jobs that cost something, and first jobs
# of runs (both with their number first). The last four hold what was so when they were
# last written down.
HEAP, TRAIL, ORDER, SUB_JOBS, HOT, RUNS = 0, 1, 2, 3, 4, 5

# Per jurisdiction and day of the plan: inspections, the first of them, and jobs that
# found the day full.
COUNT, HEAD, SKIP = 0, 1, 2

# Counters of the plan.
JOBS_COST, MOVES_COST, TRIAL, TRAIL_SIZE, HEAP_SIZE, DICE = 0, 1, 2, 3, 4, 5
MORE_JOBS, MORE_MOVES = 6, 7  # what the trial just made costs more
HOPES = 8  # queued jobs that may come to stand earlier
ALLOWED = 9  # by how much moves alone may raise the score; REFUSED: by anything
MAY_WIN = 10  # what the trial is reckoned to win at most
COUNTERS = 11

NEVER = -(10**6)
BROKEN_PIN = 10**9  # price of a day by which a pin is missed
REFUSED = 10**15  # a move that cannot be made, a trial that was broken off
ORDER_BITS = 16  # low bits of a key hold the job: keys are never equal
ORDER_STEP = 1 << 30
TAIL = 1 << 47  # room behind the last job of a crew


class Fixed(NamedTuple):
    """The problem as int64 arrays; n jobs, C crews, V jurisdictions, D days."""

    jobs: Any  # [n + C, FIXED_WIDTH]; a crew's row says where it stands
    quarters: Any  # [C, n]; 0 where the crew may not
    next_off: Any  # [2 C, D]: next blocked day; row c + C: rain too
    next_visit: Any  # [V, D]: next inspection day
    rules: Any  # [V, 3]
    travel: Any  # [S, S]
    lists: Any  # [3, n or S + 1]
    sizes: Any  # [12]


class Live(NamedTuple):
    """One plan in the engine, changed in place."""

    jobs: Any  # [n + C, LIVE_WIDTH]; a crew's row stands before its first job
    saved: Any  # [n + C, UNDONE]
    days: Any  # [3, V, D]
    lists: Any  # [6, n + C + 1]
    counters: Any  # [COUNTERS]
