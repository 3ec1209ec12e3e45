"""One phase or three from the same magnets and the same wire."""
