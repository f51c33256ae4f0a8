"""What is true on the board: lines played, marks tested. The only room that imports `chess`."""
