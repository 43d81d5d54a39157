"""The frozen values that pass from stage to stage."""
