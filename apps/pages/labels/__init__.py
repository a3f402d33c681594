"""Labels: tags issued in ranges and printed exact in millimetres."""
