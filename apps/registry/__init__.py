"""The database: shops, keys, skis, tags, records and their index. The only writer of records."""
