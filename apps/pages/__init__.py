"""The few web pages people need."""
