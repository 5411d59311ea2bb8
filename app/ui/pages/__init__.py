"""One page per subject. A page is made when it is first opened."""
