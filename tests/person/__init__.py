"""One person: her measures judged, what is missing estimated, and her sock altered."""
