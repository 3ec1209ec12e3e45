"""Building: what the builder needs: winding card, parts list, parts to print."""

__all__ = ["pack_parts", "parts_list", "phase_card", "polarity_words", "winding_card"]
