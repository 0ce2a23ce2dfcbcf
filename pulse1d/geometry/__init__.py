"""What the gas passes through and where it lies: sections, overlap of outlines, frames."""
