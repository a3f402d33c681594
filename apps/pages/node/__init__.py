"""How the node is, for its operator."""
