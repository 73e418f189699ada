"""Lists to pack, load and buy."""
