"""Packs: the folders of a search and of a build, whole."""

__all__ = ["build_pack", "result_files"]
