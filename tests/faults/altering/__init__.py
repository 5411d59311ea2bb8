"""What people might do to signed papers, by what they lay hands on."""
