"""Cut panels, packing and proof: from finished sizes to verified lays on cloth."""
