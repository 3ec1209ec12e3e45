"""Building: what the builder needs: winding card, parts list, parts to print."""
