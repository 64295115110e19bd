"""Every finding's name and weight; its page and test is `cases/NAME.md`."""

from __future__ import annotations

#: name -> weight. A name reads well after `allow`.
WEIGHTS: dict[str, str] = {
    # files
    "not-text": "error",
    "too-large": "error",
    "unreadable-file": "error",
    "odd-characters": "doubt",
    "empty-file": "doubt",
    "no-date": "error",
    "impossible-date": "error",
    "two-dates": "doubt",
    "unsure-date": "doubt",
    "future-day": "pending",
    "unknown-initials": "doubt",
    "unclosed-fence": "doubt",
    "merge-marker": "error",
    "merge-conflict": "pending",
    "sync-copy": "pending",
    # lines
    "unclosed-quote": "doubt",
    "broken-braces": "error",
    "unknown-verb": "error",
    "odd-verb": "doubt",
    "no-subject": "error",
    "no-colon": "doubt",
    "unread-number": "doubt",
    "unknown-field": "doubt",
    "repeated-field": "error",
    "nothing-said": "doubt",
    "unused-allow": "doubt",
    "entry-in-prose": "doubt",
    # settings
    "unread-setting": "doubt",
    # subjects
    "unknown-code": "error",
    "unknown-subject": "error",
    "which-sowing": "pending",
    "no-sowing-fits": "pending",
    "two-sowings-one-code": "doubt",
    "two-spellings": "doubt",
    "new-crop-near": "doubt",
    "odd-place": "doubt",
    "code-year": "doubt",
    "before-sowing": "error",
    "after-finished": "doubt",
    "unclear-like": "doubt",
    "which-day": "error",
    "nothing-to-correct": "error",
    "written-twice": "doubt",
    # counts
    "more-than-sown": "pending",
    "of-more-than-sown": "error",
    "more-than-of": "error",
    "more-than-stood": "pending",
    "unexplained-fall": "doubt",
    "which-stand": "doubt",
    "which-part": "doubt",
    "unknown-amount": "doubt",
}
