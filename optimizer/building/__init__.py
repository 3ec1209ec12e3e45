"""Building: what the builder needs: winding card, parts list, parts to print."""

__all__ = ["pack_parts", "parts_list", "polarity_words", "winding_card"]
