"""Plots: pictures of a machine, one file each, and of a search; the only door to matplotlib is `style`.

Every plot function takes a Result or a Layout and axes, draws on them and returns them. `result_figures`
builds all figures of a search; `figure_png` and `figure_svg` give a figure's bytes, always the same.
"""

__all__ = ["any_winding_plot", "result_plots", "style"]
