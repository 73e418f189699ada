"""Score sheets, results and dated changes."""
