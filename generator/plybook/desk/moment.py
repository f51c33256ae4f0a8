"""The moment that a run goes by: given from outside, since a build reads no clock."""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping

from plybook.diagnostics import UsageError

__all__ = ["epoch_day", "epoch_of"]


def epoch_of(environment: Mapping[str, str]) -> int | None:
    """Return SOURCE_DATE_EPOCH (reproducible-builds.org), seconds since 1970, None when not set.

    Raises UsageError for anything but a number of at most eleven digits, the year 5138.
    """
    written = environment.get("SOURCE_DATE_EPOCH")
    if not written:
        return None
    if not re.fullmatch(r"[0-9]{1,11}", written):
        raise UsageError("SOURCE_DATE_EPOCH is no number of seconds since 1970")
    return int(written)


def epoch_day(environment: Mapping[str, str]) -> str | None:
    """Return the day of SOURCE_DATE_EPOCH as year-month-day (UTC), None when it is not set."""
    epoch = epoch_of(environment)
    if epoch is None:
        return None
    return datetime.datetime.fromtimestamp(epoch, tz=datetime.UTC).date().isoformat()
