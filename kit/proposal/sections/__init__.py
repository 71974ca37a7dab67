"""One folder a section of the paper; `kit.proposal.compose` walks them."""
