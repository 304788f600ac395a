"""Patterns of the sentences that reports, findings, messages and workings write, by where they come from."""

from turfgis.desk.words.patterns import drawing, keys, models, pages, records

PATTERNS = (
    *drawing.PATTERNS,
    *keys.PATTERNS,
    *models.PATTERNS,
    *pages.PATTERNS,
    *records.PATTERNS,
)
