"""Packs: the folders of a search and of a build, whole."""

__all__ = ["build_pack", "drawn_plots", "result_files"]
