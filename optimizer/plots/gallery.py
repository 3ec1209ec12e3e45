"""All figures of a search or of one machine, by name."""

from __future__ import annotations

from optimizer.field.emf import MachineEmf
from optimizer.plots.air_gap_plot import air_gap_plot
from optimizer.plots.count_plot import count_loss_plot, count_plot
from optimizer.plots.field_plot import field_plot
from optimizer.plots.layout_plot import layout_figure
from optimizer.plots.style import Figure, framed, house_style, settle, single
from optimizer.plots.textbook_plot import textbook_plot
from optimizer.plots.topology_plot import topology_plot
from optimizer.plots.waveform_plot import harmonics_plot, waveform_plot
from optimizer.search.result import Result


def layout_figures(emf: MachineEmf) -> dict[str, Figure]:
    """Figures of one machine: `layout`, `waveform`, `field_map`, `emf_by_air_gap`."""
    layout = emf.layout
    with house_style():
        return {
            "layout": layout_figure(layout),
            "waveform": _waveform_figure(emf),
            "field_map": single(framed(6.2), lambda axes: field_plot(layout, axes)),
            "emf_by_air_gap": single(framed(3.6), lambda axes: air_gap_plot(layout, axes)),
        }


def result_figures(result: Result, emf: MachineEmf) -> dict[str, Figure]:
    """Figures of a search: those of its winner, `emf_by_magnet_count`, `by_topology`, perhaps `textbook`.

    emf: of the winner. Each shows the goal's value: the EMF, or the power when that was asked for.
    """
    figures = layout_figures(emf)
    with house_style():
        figures["emf_by_magnet_count"] = _count_figure(result)
        figures["by_topology"] = single(framed(3.6), lambda axes: topology_plot(result, axes))
        if (book := result.textbook) is not None:
            figures["textbook"] = single(framed(3.6), lambda axes: textbook_plot(book, result.best, axes))
    return figures


def _waveform_figure(emf: MachineEmf) -> Figure:
    figure = framed(3.7)
    left, right = figure.subplots(1, 2, width_ratios=(1.7, 1))
    waveform_plot(emf, left)
    harmonics_plot(emf.phases[0], right)
    return settle(figure)


def _count_figure(result: Result) -> Figure:
    figure = framed(5.6)
    upper, lower = figure.subplots(2, 1, height_ratios=(2.2, 1))
    count_plot(result, upper)
    count_loss_plot(result, lower)
    upper.set_xlabel("")
    return settle(figure)
