"""What the worker does with surveys: copies of photographs, and printing reports."""

from typing import Any

from condition.models import Photograph
from condition.services.issuing import do_issue_report
from condition.services.notices import do_issue_notice
from condition.services.photographs import prepare_photograph
from sites.errors import JobFailedError
from sites.jobs import Progress, task
from sites.models import Job


@task("prepare_photograph")
def prepare_photograph_task(job: Job, progress: Progress) -> dict[str, Any]:
    """Make the copies of one photograph. Returns the state it ended in."""
    photograph = (
        Photograph.objects.select_related("building").filter(pk=job.arguments["photograph"]).first()
    )
    if photograph is None:
        raise JobFailedError("The photograph is no longer there.")
    prepare_photograph(photograph)
    progress.step(1, 1)
    return {"state": str(photograph.state)}


@task("issue_report")
def issue_report_task(job: Job, progress: Progress) -> dict[str, Any]:
    """Issue the next report of one survey. Returns its key and its address."""
    return do_issue_report(job, progress)


@task("issue_notice")
def issue_notice_task(job: Job, progress: Progress) -> dict[str, Any]:
    """Issue the make-safe notice of one danger. Returns its key and its address."""
    return do_issue_notice(job, progress)
