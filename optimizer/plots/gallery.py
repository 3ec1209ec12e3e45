"""All figures of a search or of one machine, by name."""

from __future__ import annotations

from functools import partial

from optimizer.field.emf import MachineEmf
from optimizer.plots.air_gap_plot import air_gap_plot
from optimizer.plots.any_winding_plot import any_winding_plot
from optimizer.plots.field_plot import field_plot
from optimizer.plots.layout_plot import layout_figure
from optimizer.plots.result_plots import count_loss_plot, count_plot, textbook_plot, topology_plot
from optimizer.plots.style import Figure, framed, house_style, panels
from optimizer.plots.waveform_plot import harmonics_plot, waveform_plot
from optimizer.search.result import Result


def layout_figures(emf: MachineEmf) -> dict[str, Figure]:
    """Figures of one machine: `layout`, `waveform`, `field_map`, `emf_by_air_gap`."""
    layout = emf.layout
    with house_style():
        return {
            "layout": layout_figure(layout),
            "waveform": panels(
                framed(3.7), partial(waveform_plot, emf), partial(harmonics_plot, emf.phases[0]),
                across=True, width_ratios=(1.7, 1),
            ),
            "field_map": panels(framed(6.2), partial(field_plot, layout)),
            "emf_by_air_gap": panels(framed(3.6), partial(air_gap_plot, layout)),
        }


def result_figures(result: Result, emf: MachineEmf) -> dict[str, Figure]:
    """Figures of a search: those of its winner, `emf_by_magnet_count`, `by_topology`, perhaps `textbook` and
    `any_winding`.

    emf: of the winner. Each shows the goal's value: the EMF, or the power when that was asked for.
    """
    figures = layout_figures(emf)
    with house_style():
        figures["emf_by_magnet_count"] = panels(
            framed(5.6), partial(count_plot, result), partial(count_loss_plot, result), height_ratios=(2.2, 1)
        )
        figures["by_topology"] = panels(framed(3.6), partial(topology_plot, result))
        if (book := result.textbook) is not None:
            figures["textbook"] = panels(framed(3.6), partial(textbook_plot, book, result.best))
        if (bound := result.bound) is not None:
            figures["any_winding"] = panels(framed(4.6), partial(any_winding_plot, emf.layout, bound))
    return figures
