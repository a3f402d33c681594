"""What a shop keeps of its own: people, keys, share links, who looked."""
