"""A process inside the project that runs code when asked: `python -m tests.faults.shell`."""

import json
import subprocess
import sys
import traceback
from typing import Any

from tests.prepared import ROOT


class Shell:
    """The asking side. Setting the project up takes longer than what it is asked for."""

    def __init__(self, environment: dict[str, str]) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.faults.shell"],
            cwd=ROOT,
            env=environment,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def run(self, code: str) -> Any:
        """Run code that leaves its answer, plain JSON, in `answer`."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        print(json.dumps(code), file=self.process.stdin, flush=True)
        told = json.loads(self.process.stdout.readline())
        assert "answer" in told, told["error"]
        return told["answer"]

    def close(self) -> None:
        self.process.communicate()


def serve() -> None:
    """Run one piece of code after the other until nobody asks any more."""
    import django
    from django.db import connection

    django.setup()
    told_to = sys.stdout
    # What the code itself prints is no answer.
    sys.stdout = sys.stderr
    for line in sys.stdin:
        names: dict[str, Any] = {}
        try:
            exec(json.loads(line), names)
            told = {"answer": names["answer"]}
        except Exception:
            told = {"error": traceback.format_exc()}
        connection.close()
        print(json.dumps(told), file=told_to, flush=True)


if __name__ == "__main__":
    serve()
