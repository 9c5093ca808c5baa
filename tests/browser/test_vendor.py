"""What was taken from elsewhere is what it says it is."""

import base64
import hashlib
import json
from pathlib import Path

VENDOR = Path(__file__).parents[1] / "vendor"


def test_each_vendored_file_stands_in_the_manifest_with_its_hash():
    said = json.loads((VENDOR / "manifest.json").read_text("utf-8"))
    licences = {one["licence_file"] for one in said.values()}

    there = {path.name for path in VENDOR.iterdir()} - {"manifest.json", *licences}
    hashes = {
        name: base64.b64encode(
            hashlib.sha384((VENDOR / name).read_bytes()).digest()
        ).decode()
        for name in there
    }

    assert hashes == {name: one["sha384"] for name, one in said.items()}


def test_the_vendored_file_says_its_version_itself():
    said = json.loads((VENDOR / "manifest.json").read_text("utf-8"))
    one = said["axe.min.js"]

    start = (VENDOR / "axe.min.js").read_text("utf-8")[:20]

    assert start.startswith(f"/*! axe v{one['version']}\n")
    assert one["licence"] == "MPL-2.0"
    assert "Mozilla Public License" in (VENDOR / one["licence_file"]).read_text()
