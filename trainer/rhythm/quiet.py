"""Keeps the system's sound library from writing its own complaints over the screen."""

import ctypes
import sys
from functools import cache
from typing import Any

ALSA = "libasound.so.2"
_HANDLER = ctypes.CFUNCTYPE(None, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p)


@cache
def hush() -> Any:
    """Let ALSA, where there is one, tell its errors to nobody: while a device is opened and while it plays.

    Standard error is left as it is, because the screen itself is drawn there. What is returned keeps the handler alive.
    """
    if not sys.platform.startswith("linux"):
        return None
    handler = _HANDLER(lambda *_: None)
    try:
        ctypes.CDLL(ALSA).snd_lib_error_set_handler(handler)
    except (OSError, AttributeError):
        return None
    return handler
