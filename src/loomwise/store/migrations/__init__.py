"""The steps that led to the present tables, in order; a step that was published never changes."""
