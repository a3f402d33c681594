"""The running node: settings, urls, wsgi and the command line."""
