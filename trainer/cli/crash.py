"""What nobody foresaw: the traceback goes to a file, a sentence to the user."""

import traceback

from trainer.paths import home


def keep_traceback(error: BaseException) -> str:
    """Write a traceback to a file and return the sentence that says where it is."""
    path = home().root / "crash.txt"
    text = "".join(traceback.format_exception(error))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8", errors="backslashreplace")
    except OSError as why:
        return f"What happened could not be written down either ({why.strerror})."
    return f"Every answer given is in the record. What happened is written down in {path}; send it to the maintainers."
