"""Web pages for the bench, the fleet and the buyer; plain HTML that needs no script."""
