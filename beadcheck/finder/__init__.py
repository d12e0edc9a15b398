"""Where in a picture the weld lies: a small learned network, run by OpenCV."""
