"""From records to lines of pieces: what the screens show, worked out without a screen."""
