"""Being asked to stop, from the first moment of a process on. Loads nothing else."""

import signal


class Stopped:
    """Becomes true on SIGINT or SIGTERM, so that the best plan can still be said."""

    def __init__(self) -> None:
        self.told = False
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, self.tell)

    def tell(self, *_: object) -> None:
        self.told = True

    def __call__(self) -> bool:
        return self.told


_early: list[Stopped] = []


def listen(arguments: list[str]) -> None:
    """Hear signals already while the planner is being loaded, where it is to solve."""
    if arguments[:1] == ["solve"]:
        _early.append(Stopped())


def listening() -> Stopped:
    """What was heard since `listen`, else from now on."""
    return _early.pop() if _early else Stopped()
