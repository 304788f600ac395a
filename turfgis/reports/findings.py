"""Findings about a drawing, for the screen."""

import textwrap
from collections.abc import Sequence

from turfgis.layers.findings import Finding
from turfgis.reports.screen import WIDEST, one_line

_SIGNS = {"error": "ERROR", "warning": "warning", "note": "note"}


def findings_text(findings: Sequence[Finding]) -> str:
    """
    Findings as a list, the errors first, each with where it was found.

    Parameters
    ----------
    findings
        Sorted as they are to be read.

    Returns
    -------
    Lines of text; one line that says so where there are none.
    """
    if not findings:
        return "Nothing to remark on."
    lines = []
    for finding in findings:
        where = ", ".join(
            one_line(part)
            for part in (finding.file, finding.layer, f"feature {finding.feature}" if finding.feature else "")
            if part
        )
        lines.append(f"{_SIGNS[finding.level]} ({finding.code}) {where}")
        lines += textwrap.wrap(one_line(finding.text), WIDEST, initial_indent="    ", subsequent_indent="    ")
    counts = [f"{sum(f.level == level for f in findings)} {level}s" for level in _SIGNS]
    return "\n".join([*lines, "", ", ".join(counts)])
