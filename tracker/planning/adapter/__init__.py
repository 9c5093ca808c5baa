"""From the database to the planner and back: one function each way.

`problem_of` reads everything in a fixed number of statements and says what it could
not tell (`notes`); `plan_to_facts` says which lot phases get another word than crews
have now. How inspections are mapped stands in `lots`, how offices are in `offices`.
"""

from .facts import Change, plan_to_facts
from .joined import Joined, problem_of
from .keys import Keys, Visit

__all__ = ["Change", "Joined", "Keys", "Visit", "plan_to_facts", "problem_of"]
