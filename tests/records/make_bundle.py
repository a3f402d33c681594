"""Makes the golden bundle with fixed keys and salts: `python -m tests.records.make_bundle`.

Its keys follow from names that stand in the open: what they sign proves nothing.
"""

from __future__ import annotations

from pathlib import Path

from tests.records.small_log import BOTH, story

GOLDEN = Path(__file__).parents[2] / "fixtures" / "bundles" / "two-tags.json"


def main() -> None:
    """Write the golden bundle."""
    GOLDEN.write_bytes(story().bundle(BOTH))


if __name__ == "__main__":
    main()
