"""Progress for tests that call a task themselves, outside the queue."""

from sites.jobs import Progress
from sites.models import Job


class UnwatchedProgress(Progress):
    """Progress that nobody watches and no job stands behind."""

    def __init__(self) -> None:
        super().__init__(Job())

    def step(self, done: int, total: int, what: str = "") -> None:
        return
