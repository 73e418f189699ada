"""What every page needs: htmx and template helpers, middleware, form pieces."""
