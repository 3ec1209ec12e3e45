"""Building: what the builder needs: winding card, parts list, parts to print."""

__all__ = ["card_words", "pack_parts", "parts_list", "winding_card"]
