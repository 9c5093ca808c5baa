"""Plan checks, piping outlines, calculation sheets and material lists."""
