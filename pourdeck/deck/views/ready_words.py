"""Words that are ready to be picked where a reason is asked for: for gloves, and for a keypad alone."""

DEFERRING = ("waits for material", "waits for people", "not ready yet", "weather")
LEAVING_OUT = ("none on this panel", "done by others", "not in this kit")
UNMEASURED = ("no instrument here", "instrument broken", "cannot be reached", "too late to measure")
CORRECTING = ("misread", "wrong key", "measured again", "second test")
FOLLOWING_UP = ("put right", "replaced", "accepted as it is")
DISPOSING = ("engineer's note", "ground off", "form had moved")
NOTING = ("photo taken", "foreman told", "see the drawing")
