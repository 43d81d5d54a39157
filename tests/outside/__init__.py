"""Checks against what others have published: tables, handbooks, patterns and a survey of feet."""
