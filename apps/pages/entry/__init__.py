"""Coming in and going out: home, log-in, language."""
