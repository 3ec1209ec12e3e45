"""Packs: the folders of a search and of a build, whole."""
