"""Writers: the drawing as DXF, SVG and PDF."""
