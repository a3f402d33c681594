"""The pages of the fleet."""
