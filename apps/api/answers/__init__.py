"""The shapes of answers, by subject; absent values are left out, decimals are strings."""
