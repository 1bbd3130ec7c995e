"""What the worker does with the register: printing inscription proofs."""

from typing import Any

from sites.jobs import Progress, task
from sites.models import Job
from sites.services.proofs import do_issue_proof


@task("issue_proof")
def issue_proof_task(job: Job, progress: Progress) -> dict[str, Any]:
    """Issue the next proof of one item. Returns its key and its address."""
    return do_issue_proof(job, progress)
