"""Writers: the drawing as DXF, SVG and PDF."""

__all__ = ["dxf", "pdf", "sheets", "svg"]
