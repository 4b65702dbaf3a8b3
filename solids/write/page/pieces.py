"""The page of whichever piece it is."""

from __future__ import annotations

from collections.abc import Sequence

from solids.write.box.page import box_page_bytes
from solids.write.job import Job
from solids.write.page.page import page_bytes


def piece_page_bytes(job: Job, files: Sequence[tuple[str, str]], *, live: int | None = None) -> bytes:
    """The page; `files` and `live` as for the page of a corner."""
    if job.piece == "box":
        return box_page_bytes(job.proof, job.scene, files, live=live)
    joint = job.joints[0]
    return page_bytes(joint.layout, joint.proof, job.scene, files, live=live)
