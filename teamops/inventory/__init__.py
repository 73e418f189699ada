"""What the team owns and uses up: items, containers, kits."""
