"""The one place that knows what day it is."""

from __future__ import annotations

import datetime as dt
import os


def today() -> dt.date:
    """SOURCE_DATE_EPOCH's day (UTC) if it is set to a number, else today here."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    if epoch.isdigit():
        return dt.datetime.fromtimestamp(int(epoch), dt.UTC).date()
    return dt.date.today()  # noqa: DTZ011 - the grower's own day
