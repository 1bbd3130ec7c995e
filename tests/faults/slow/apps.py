"""A task slow enough to be killed in the middle, that tells each start and each end in a file."""

import os
import time
from pathlib import Path

from django.apps import AppConfig


def tell(file: str, word: str) -> None:
    with Path(file).open("a") as told:
        told.write(f"{word} {os.getpid()}\n")


class SlowConfig(AppConfig):
    name = "tests.faults.slow"

    def ready(self) -> None:
        from sites.jobs import task

        @task("slow")
        def slow(job, progress):
            tell(job.arguments["file"], "start")
            for step in range(20):
                progress.step(step, 20, "slowly")
                time.sleep(job.arguments["seconds"] / 20)
            tell(job.arguments["file"], "end")
            return {}
