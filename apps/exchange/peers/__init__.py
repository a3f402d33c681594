"""How this node follows the logs of others, and vouches for what it saw of them."""
