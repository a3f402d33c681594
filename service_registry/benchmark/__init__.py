"""What the main paths cost, as ratios to plainer ways measured in the same run."""
