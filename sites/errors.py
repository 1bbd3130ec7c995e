"""What a user can cause and a page can explain."""


class SaddlebarError(Exception):
    """Something the user can mend; its text is in the user's words."""


class JobFailedError(SaddlebarError):
    """A task that cannot succeed by being tried again."""


class PrintError(JobFailedError):
    """A document that could not be printed."""


class JobLostError(Exception):
    """The worker was taken for dead and its job given to another: it must stop working on it."""


class BackupError(SaddlebarError):
    """A backup that cannot be made, or one that cannot be restored as it is."""
