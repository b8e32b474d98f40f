"""The board: a page in any browser nearby that shows the day and takes words."""
