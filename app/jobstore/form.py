"""What a store file says of itself: whose it is, and of which form."""

from __future__ import annotations

from typing import Final

# Format: "CLf1" as four bytes; tells a store of this program from any other SQLite file.
APPLICATION_ID: Final = 0x434C6631
SCHEMA_VERSION: Final = 1
HEAD_REVISION: Final = "0001"
