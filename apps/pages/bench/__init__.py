"""The bench: find a ski, plan a tune, write the job."""
