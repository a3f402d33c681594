"""Black-box checks of a node: whether what it answers is what the open format and the API say."""
