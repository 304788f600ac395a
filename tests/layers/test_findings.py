"""Every code that a finding may carry is explained."""

import ast
from pathlib import Path

import turfgis
from turfgis.layers.findings import CODES, LEVELS, Finding, errors_first

ROOT = Path(turfgis.__file__).parent


def nodes():
    for file in ROOT.rglob("*.py"):
        if file.name != "findings.py":
            for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
                yield file, node


def test_every_code_that_is_written_is_explained():
    written = set()
    for file, node in nodes():
        if isinstance(node, ast.Call):
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
            texts = [one.value for one in node.args[:2] if isinstance(one, ast.Constant) and isinstance(one.value, str)]
            if name == "Finding" or (file.parent.name == "layers" and name in ("say", "drop", "each", "all")):
                written |= set(texts) - set(LEVELS)
    assert len(written) > 20
    assert written <= set(CODES)


def test_every_code_that_is_explained_is_written():
    words = {node.value for _, node in nodes() if isinstance(node, ast.Constant) and isinstance(node.value, str)}
    assert set(CODES) <= words


def test_errors_come_first_and_the_rest_keeps_its_order():
    found = [
        Finding(level, "mended", "a", "b", feature, "")
        for level, feature in [("note", "1"), ("warning", "2"), ("error", "3"), ("warning", "4"), ("error", "5")]
    ]
    assert [finding.feature for finding in errors_first(found)] == ["3", "5", "2", "4", "1"]
