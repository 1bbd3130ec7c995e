"""What the worker does with estimates: printing quotes."""

from typing import Any

from restoration.services.issuing import do_issue_quote
from sites.jobs import Progress, task
from sites.models import Job


@task("issue_quote")
def issue_quote_task(job: Job, progress: Progress) -> dict[str, Any]:
    """Issue the next quote of one estimate. Returns its key and its address."""
    return do_issue_quote(job, progress)
