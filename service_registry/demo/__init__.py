"""An invented valley of three shops that shows what the registry answers."""
