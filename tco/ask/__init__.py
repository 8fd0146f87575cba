"""Questions put to a model."""
