"""What is said when a problem or plan cannot be used."""


class BadProblem(ValueError):
    """The problem cannot be read or contradicts itself; the text names the place."""


class BadPlan(ValueError):
    """The plan cannot be read against this problem; the text names the place."""


class NoPlan(ValueError):
    """No plan keeps every pin; the text names the pins that could not be kept."""
