"""Patterns of the sentences that reports, findings, messages and workings write, by where they come from."""

from turfgis.desk.words.patterns import (
    drawing,
    files,
    keys,
    models,
    pages,
    plans,
    published,
    records,
    strokes,
    workings,
)

PATTERNS = (
    *drawing.PATTERNS,
    *files.PATTERNS,
    *keys.PATTERNS,
    *models.PATTERNS,
    *pages.PATTERNS,
    *plans.PATTERNS,
    *published.PATTERNS,
    *records.PATTERNS,
    *strokes.PATTERNS,
    *workings.PATTERNS,
)
