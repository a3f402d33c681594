"""The open schema: typed records, canonical bytes, ids, signatures, and folding; pure Python."""
