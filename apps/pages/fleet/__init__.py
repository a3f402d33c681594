"""The fleet: what is due, what is to come, which pairs drifted apart."""
