"""Which crew works on which lot when: problem, solver, judge, reasons and odds.

Plain Python, numpy and numba; no Django. Times are quarters of a working day, days
are positions in the problem's list of working days (see problem.py).
"""
