"""What happened to the job on the table, and when, as a person says it."""

from __future__ import annotations

from datetime import datetime, timedelta

from kit.book import ClashError, Opened
from kit.site import UNNAMED

LEFT = timedelta(minutes=10)
"""A job taken up after longer than this is told to be what was left, not a reload."""


def restored_words(opened: Opened, came: str, now: datetime) -> str:
    """What has happened, and until when it was saved; "" where there is nothing to tell."""
    when = opened.revision.when.astimezone(now.tzinfo)
    client = opened.job.site.client.name
    whose = "a new client" if client == UNNAMED else client
    saved = f"This is the job of {whose} as it was saved {moment(when, now)}"
    if came == "lost":
        return f"Pourtable had stopped answering and was started again. {saved}."
    if came == "reload":
        return f"The page was loaded again. {saved}."
    if opened.revision.number > 1 and now - when > LEFT:
        return f"{saved}, when it was last at a table."
    return ""


def moment(when: datetime, now: datetime) -> str:
    """``at 2:14 pm``, or with its day where that is another one."""
    from babel.dates import format_datetime, format_time

    clock = format_time(when, "h:mm a", tzinfo=when.tzinfo, locale="en_US").lower()
    if when.date() == now.date():
        return f"at {clock}"
    pattern = "MMM d" if when.year == now.year else "MMM d, y"
    day = format_datetime(when, pattern, tzinfo=when.tzinfo, locale="en_US")
    return f"on {day} at {clock}"


def clash_words(fault: ClashError, *, own: bool) -> str:
    """That somebody else kept the job, and what became of what is on the table."""
    now = datetime.now().astimezone()
    when = moment(fault.latest.when.astimezone(now.tzinfo), now)
    rest = (
        "What you changed here is on this screen only; nothing was overwritten."
        if own
        else "This screen still shows it as it was before."
    )
    where = f"by {fault.latest.who}" if fault.latest.who else "in another window"
    return f"This job was changed {where} {when}. {rest}"
